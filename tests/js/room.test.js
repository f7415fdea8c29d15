import assert from "node:assert/strict"
import { beforeEach, test } from "node:test"
import { deflateSync } from "node:zlib"
import { Disk } from "./disk.js"
import { Shelf } from "./shelf.js"

const disk = new Disk().install()
let isShort = false // there is no room but what was held back
Object.defineProperty(disk, "isFull", { get: () => isShort && keys("phone").includes("reserve") })
const { holdBack, isFilling, room, withRoom } = await import("../../static/js/room.js")
const db = await import("../../static/js/db.js")

const keys = (store) => disk.rows(store).map((row) => row[disk.stores.get(store).keyPath])

beforeEach(async () => {
  isShort = false
  await db.change(["phone", "photo", "draft"], (tx) => {
    for (const name of ["phone", "photo", "draft"]) tx.objectStore(name).clear()
  })
})

const browser = (usage, quota) => ({ estimate: async () => ({ usage, quota }) })

test("what the browser tells of its room is told", async () => {
  assert.deepEqual(await room(browser(300, 1000)), { used: 300, room: 1000 })
})

test("where a browser does not tell, nobody knows, and it is not called full", async () => {
  assert.equal(await room({}), undefined)
  assert.equal(await room(browser(0, 0)), undefined)
  assert.equal(await isFilling({}), false)
})

test("it is filling from four fifths on", async () => {
  assert.equal(await isFilling(browser(800, 1000)), false)
  assert.equal(await isFilling(browser(801, 1000)), true)
})

const words = () => db.put("draft", { name: "walk", photos: [] })

test("a megabyte is held back, once", async () => {
  await holdBack()
  await db.put("phone", { key: "reserve", value: new ArrayBuffer(7) })
  await holdBack()

  assert.equal((await db.get("phone", "reserve")).value.byteLength, 7)
  await db.remove("phone", "reserve")
  await holdBack()
  assert.equal((await db.get("phone", "reserve")).value.byteLength, 1_000_000)
})

test("what is held back cannot be made smaller, for browsers keep rows compressed", async () => {
  await holdBack()

  const { value } = await db.get("phone", "reserve")
  assert.ok(deflateSync(value).length >= value.byteLength)
})

test("a phone that is full already holds nothing back, and goes on", async () => {
  isShort = true

  await holdBack()

  assert.deepEqual(keys("phone"), [])
})

test("on a full phone words take the room that was held back, and that of photos the office has", async () => {
  await db.put("photo", { sha256: "sent", state: "sent" })
  await db.put("photo", { sha256: "waiting", state: "waiting" })
  await holdBack()
  isShort = true
  await assert.rejects(words(), { name: "QuotaExceededError" })

  await withRoom(words)

  assert.deepEqual([keys("draft"), keys("phone"), keys("photo")], [["walk"], [], ["waiting"]])
})

test("where there is room, nothing is given up for words", async () => {
  await db.put("photo", { sha256: "sent", state: "sent" })
  await holdBack()

  await withRoom(words)

  assert.deepEqual([keys("draft"), keys("phone"), keys("photo")], [["walk"], ["reserve"], ["sent"]])
})

for (const [name, times] of Object.entries({ QuotaExceededError: 2, AbortError: 1 })) {
  test(`words that fail with ${name} are tried ${times} times, and the failure is told`, async () => {
    let tried = 0
    const failing = async () => {
      tried += 1
      throw new DOMException("no", name)
    }

    await assert.rejects(withRoom(failing), { name })

    assert.equal(tried, times)
  })
}

/** A phone with caches of these releases and a page of `own`; says which are left after room was made. */
async function left(releases, own, worker = {}) {
  globalThis.caches = new Shelf("http://site.test")
  for (const name of releases) await caches.open(name)
  globalThis.document = { documentElement: { dataset: { release: own } } }
  const isMute = worker instanceof Error
  const serviceWorker = { getRegistration: () => Promise[isMute ? "reject" : "resolve"](worker) }
  Object.defineProperty(globalThis, "navigator", { value: { serviceWorker }, configurable: true })
  await holdBack()
  isShort = true
  await withRoom(words)
  assert.deepEqual(keys("draft"), ["walk"])
  return caches.keys()
}

const [A, B, C] = ["walkaround-a", "walkaround-b", "walkaround-c"]

for (const [name, [releases, own, worker, expected]] of Object.entries({
  "releases before go": [[A, B, "other", C], "c", {}, ["other", C]],
  "the only one stays": [[A], "a", {}, [A]],
  "the one in charge stays while a newer one waits": [[A, B], "a", { waiting: {} }, [A, B]],
  "it stays also for a page of the newer one": [[A, B], "b", { waiting: {} }, [A, B]],
  "it stays while a newer one arrives": [[A, B], "b", { installing: {} }, [A, B]],
  "one that was begun and given up changes nothing": [[A, B], "a", {}, [A, B]],
  "a page of a release that is not kept costs none": [[A, B], "c", {}, [A, B]],
  "what a browser does not tell costs no words,": [[A, B], "b", new Error("no"), [A, B]],
  "where no worker is, nobody knows of one that waits": [[A, B], "b", undefined, [B]],
})) {
  test(`${name} when room is made`, async () => {
    assert.deepEqual(await left(releases, own, worker), expected)
  })
}

test("where the browser sees only later what became free, words are written then", async () => {
  let tried = 0
  const slow = async () => {
    tried += 1
    if (tried < 4) throw new DOMException("no", "QuotaExceededError")
    return "written"
  }

  assert.equal(await withRoom(slow, [1, 1, 1]), "written")
  assert.equal(tried, 4)
})

test("after the last pause the failure is told, and any other one at once", async () => {
  for (const [name, times] of [["QuotaExceededError", 4], ["AbortError", 2]]) {
    let tried = 0
    const failing = async () => {
      tried += 1
      throw new DOMException("no", tried === 1 ? "QuotaExceededError" : name)
    }

    await assert.rejects(withRoom(failing, [1, 1]), { name })
    assert.equal(tried, times)
  }
})
