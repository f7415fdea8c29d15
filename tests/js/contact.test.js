import assert from "node:assert/strict"
import { test } from "node:test"
import { Disk } from "./disk.js"

const disk = new Disk().install()
const { keep, change, entries } = await import("../../static/js/entries.js")
const { put } = await import("../../static/js/db.js")
const { tellOffice } = await import("../../static/js/contact.js")

const MINUTE = 60_000
const record = (id, device = "p") => ({ id, by: "101", photos: [], stops: false, entry: { id, device } })

/** A fresh phone, and an office that knows numbers up to `highest`; what was told to it. */
async function phone({ highest = 0, status = 200 } = {}) {
  await entries() // makes the stores
  disk.stores.forEach(({ rows }) => rows.clear())
  const told = []
  const answer = (status) =>
    new Response(JSON.stringify({ highest, csrf: "t" }), { status, headers: { "Content-Type": "application/json" } })
  globalThis.fetch = async (_address, { body, headers }) => {
    if (!body) return answer(200)
    const said = JSON.parse(body)
    told.push(said)
    if (said.emptied) highest += 1
    return answer(headers["X-CSRF-Token"] === "t" ? status : 400)
  }
  return told
}

test("a phone says how many wait: when that changes, and again after a while", async () => {
  const told = await phone({ highest: 1 })
  await keep(record("e1"))
  await keep(record("e2"))

  await tellOffice("p", 0)
  await tellOffice("p", 9 * MINUTE)
  await change("e1", { state: "sent" })
  await tellOffice("p", 9 * MINUTE)
  await tellOffice("p", 20 * MINUTE)

  assert.deepEqual(told, [{ waiting: 2 }, { waiting: 1 }, { waiting: 1 }])
})

test("a phone says which release it keeps as soon as that is another one", async () => {
  const told = await phone()
  const keeps = (release) => put("phone", { key: "pages", release })

  await keeps("a")
  await tellOffice("p", 0)
  await tellOffice("p", MINUTE)
  await keeps("b")
  await tellOffice("p", 2 * MINUTE)

  assert.deepEqual(told, [{ waiting: 0, release: "a" }, { waiting: 0, release: "b" }])
})

test("a phone whose clock was set back is not silent until it catches up", async () => {
  const told = await phone()

  await tellOffice("p", 100 * MINUTE)
  await tellOffice("p", 0)

  assert.equal(told.length, 2)
})

test("a phone that the office does not know says nothing", async () => {
  const told = await phone()

  await tellOffice(undefined)

  assert.deepEqual(told, [])
})

test("what the office did not take is said again", async () => {
  const told = await phone({ status: 503 })

  await tellOffice("p", 0)
  await tellOffice("p", 0)

  assert.equal(told.length, 2)
})

test("a browser that lost what it kept says so, once, and goes on after a hole", async () => {
  const told = await phone({ highest: 7 })

  await tellOffice("p", 0)
  await tellOffice("p", 20 * MINUTE)
  await keep(record("e1"))

  assert.deepEqual(told, [{ waiting: 0, emptied: true }, { waiting: 0 }])
  const [{ n, entry }] = disk.rows("entry")
  assert.deepEqual([n, entry.n], [1, 9])
})

test("a phone that was enrolled anew begins with number 1 and keeps its own order", async () => {
  await phone()

  await keep(record("e1"))
  await keep(record("e2", "q"))
  await keep(record("e3", "q"))

  assert.deepEqual(disk.rows("entry").map(({ n, entry }) => [n, entry.n]), [[1, 1], [2, 1], [3, 2]])
})
