import assert from "node:assert/strict"
import { test } from "node:test"
import { Disk } from "./disk.js"

const disk = new Disk().install()
const { change, entries, keep, keepPhoto, photo, tidy } = await import("../../static/js/entries.js")

const DAY = 24 * 3600_000
const record = (id, more = {}) => ({ id, by: "101", photos: [], stops: false, entry: { id, device: "p" }, ...more })
const fresh = () => disk.stores.forEach(({ rows }) => rows.clear())
const ids = () => disk.rows("entry").map(({ id }) => id)

/** A photo as it is kept, an hour and more ago. */
const picture = (sha256, state) => ({ sha256, state, type: "image/jpeg", bytes: new ArrayBuffer(1), kept_at: 0 })
const put = (store, ...rows) => {
  const { keyPath, rows: all } = disk.stores.get(store)
  for (const row of rows) all.set(row[keyPath], row)
}

await entries() // makes the stores

test("entries get the phone's next numbers, one after the other", async () => {
  fresh()

  await Promise.all(["e1", "e2", "e3"].map((id) => keep(record(id))))

  assert.deepEqual(disk.rows("entry").map(({ n, entry, state }) => [n, entry.n, state]), [
    [1, 1, "waiting"], [2, 2, "waiting"], [3, 3, "waiting"],
  ])
})

test("a phone that has no name of its own numbers nothing for the office", async () => {
  fresh()

  await keep(record("e1", { entry: { id: "e1" } }))

  const [{ n, entry }] = disk.rows("entry")
  assert.deepEqual([n, entry], [1, { id: "e1" }])
})

test("a draft ends when its entry is kept, and stays when that cannot be kept", async () => {
  fresh()
  put("draft", { name: "walk", photos: [] })
  disk.isFull = true
  await assert.rejects(keep(record("e1"), "walk"))
  const before = [disk.rows("draft").length, ids()]
  disk.isFull = false

  await keep(record("e1"), "walk")

  assert.deepEqual(before, [1, []])
  assert.deepEqual([disk.rows("draft").length, ids()], [0, ["e1"]])
  assert.equal(disk.rows("entry")[0].n, 1)
})

test("an entry that is kept a second time stays as it was, and takes no second number", async () => {
  fresh()
  await keep(record("e1"))
  await change("e1", { state: "sent" })
  put("draft", { name: "walk", photos: [] })

  await keep(record("e1", { by: "201" }), "walk")
  await keep(record("e2"))

  assert.deepEqual(disk.rows("entry").map(({ id, by, n, state }) => [id, by, n, state]), [
    ["e1", "101", 1, "sent"], ["e2", "101", 2, "waiting"],
  ])
  assert.deepEqual(disk.rows("draft"), [])
})

test("where no other window can be told, an entry is kept all the same", async (t) => {
  fresh()
  const { BroadcastChannel } = globalThis
  t.after(() => Object.assign(globalThis, { BroadcastChannel }))
  globalThis.BroadcastChannel = undefined

  await keep(record("e1"))

  assert.deepEqual(ids(), ["e1"])
})

test("a change leaves the rest of an entry, and one that is gone is not made again", async () => {
  fresh()
  await keep(record("e1"))

  await change("e1", { state: "sent", sent_at: 5 })
  await change("e2", { state: "sent" })

  assert.deepEqual(ids(), ["e1"])
  assert.deepEqual([disk.rows("entry")[0].state, disk.rows("entry")[0].by], ["sent", "101"])
})

test("a photo is kept as its bytes under their hash, and never as a Blob", async () => {
  fresh()

  const name = await keepPhoto(new TextEncoder().encode("abc").buffer, "image/jpeg")

  // FIPS 180-4's example for SHA-256: the message "abc".
  assert.equal(name, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")
  assert.ok((await photo(name)).bytes instanceof ArrayBuffer)
  await assert.rejects(keepPhoto(new Blob(["abc"]), "image/jpeg"), TypeError)
})

test("nothing that waits, was refused or is unconfirmed is ever too old", async () => {
  fresh()
  const states = ["waiting", "refused", "unconfirmed"]
  put("entry", ...states.map((state) => record(state, { state, sent_at: 0, photos: ["p1"] })))
  put("photo", picture("p1", "waiting"))

  await tidy(400 * DAY)

  assert.deepEqual([ids(), disk.rows("photo").length], [states, 1])
})

test("what was sent stays for thirty days, and its photos until they are sent", async () => {
  fresh()
  put("entry", record("old", { state: "sent", sent_at: 0, photos: ["p1"] }), record("new", { state: "sent", sent_at: 2 * DAY }))
  put("photo", picture("p1", "sent"))

  await tidy(31 * DAY)

  assert.deepEqual([ids(), disk.rows("photo")], [["new"], []])
})

test("an entry whose photo never got through stays as long as the photo does", async () => {
  fresh()
  put("entry", record("e1", { state: "sent", sent_at: 0, photos: ["p1", "p2"] }))
  put("photo", picture("p1", "waiting"), picture("p2", "sent"))

  await tidy(400 * DAY)
  await tidy(400 * DAY)

  assert.deepEqual([ids(), disk.rows("photo").map(({ sha256 }) => sha256)], [["e1"], ["p1"]])
})

test("a photo of a draft stays, and so does one that was taken just now", async () => {
  fresh()
  put("draft", { name: "walk", photos: ["p1"] })
  put("photo", picture("p1", "waiting"), { ...picture("p2", "waiting"), kept_at: DAY - 60_000 }, picture("p3", "waiting"))

  await tidy(DAY)

  assert.deepEqual(disk.rows("photo").map(({ sha256 }) => sha256), ["p1", "p2"])
})
