import assert from "node:assert/strict"
import { beforeEach, test } from "node:test"
import { Disk } from "../disk.js"

const disk = new Disk().install()
const { endsAt, follow, restore } = await import("../../../static/js/modules/walk-draft.js")
const { all, put } = await import("../../../static/js/db.js")

const HOUR = 3600_000
const SHIFTS = JSON.stringify([{ start: 6 * HOUR, end: 14 * HOUR }, { start: 14 * HOUR, end: 22 * HOUR }])

const browser = {} // without locks, as older ones are; Node's own differ between its versions
Object.defineProperty(globalThis, "navigator", { value: browser, configurable: true })
globalThis.CSS = { escape: (text) => text }
globalThis.FormData = class {
  constructor({ pairs }) {
    this[Symbol.iterator] = () => pairs[Symbol.iterator]()
    this.get = (name) => pairs.find(([key]) => key === name)?.[1] ?? null
  }
}

/** A page's form: its fields by their names, and what is written in them as pairs. */
function form({ pairs = [], fields = [], version = "v1", units = "kPa", dataset = {} } = {}) {
  const elements = Object.fromEntries(Object.entries({ checklist: "list", version, units }).map(([n, value]) => [n, { value }]))
  const made = {
    pairs, elements, listeners: [],
    dataset: { unit: "L07", by: "101", shifts: SHIFTS, validFor: "", ...dataset },
    ownerDocument: { querySelector: () => ({ textContent: "Walk round L07" }) },
    addEventListener: (kind) => made.listeners.push(kind),
    querySelectorAll: (wanted) => fields.filter(({ name }) => wanted === `[name="${name}"]`),
    querySelector: () => undefined,
  }
  return made
}

const radio = (name, value) => ({ type: "radio", name, value, checked: false })
const text = (name) => {
  const field = { type: "text", name, value: "", told: [] }
  return Object.assign(field, { dispatchEvent: ({ type }) => field.told.push(type) })
}

const draft = { name: "walk:L07:101:list", unit: "L07", by: "101", checklist: "list", version: "v1", units: "kPa" }

beforeEach(async () => {
  await all("draft")
  disk.stores.forEach(({ rows }) => rows.clear())
})

test("a walk begins with an id and an hour of its own, before anything is sent", async () => {
  const page = form()

  const { draft: begun } = await follow(page, 7 * HOUR)

  assert.match(begun.entry, /^[\da-f-]{36}$/)
  assert.deepEqual([begun.started_at, begun.version, begun.by], [7 * HOUR, "v1", "101"])
  assert.deepEqual(page.listeners, ["input", "change"])
})

test("what was begun is taken up, with its id and its answers", async () => {
  await put("draft", { ...draft, entry: "e1", started_at: 7 * HOUR, ends_at: 14 * HOUR, pairs: [["answer:seat", "defect"]] })
  const seat = [radio("answer:seat", "in_order"), radio("answer:seat", "defect")]

  const { draft: kept } = await follow(form({ fields: seat }), 13 * HOUR)

  assert.deepEqual([kept.entry, kept.started_at], ["e1", 7 * HOUR])
  assert.deepEqual(seat.map(({ checked }) => checked), [false, true])
})

test("a walk that another window has open is not begun a second time", async (t) => {
  t.after(() => delete browser.locks)
  const taken = (_name, { signal }) =>
    new Promise((_, reject) => {
      const awake = setInterval(() => undefined, 100) // Node ends where only a signal's clock runs
      signal.addEventListener("abort", () => reject(clearInterval(awake) ?? signal.reason))
    })
  browser.locks = { request: taken }

  assert.deepEqual(await follow(form(), 7 * HOUR), { elsewhere: true })
})

test("a window that is just going lets a walk go a little later, and it is gone on with", async (t) => {
  t.after(() => delete browser.locks)
  const soon = (_name, _options, hold) => new Promise((resolve) => setTimeout(() => resolve(hold()), 200))
  browser.locks = { request: soon }

  assert.equal((await follow(form(), 7 * HOUR)).draft.started_at, 7 * HOUR)
})

test("a walk whose shift is over is not gone on with", async () => {
  await put("draft", { ...draft, entry: "e1", ends_at: 14 * HOUR })

  const { over, draft: kept } = await follow(form(), 14 * HOUR)

  assert.deepEqual([over.entry, kept], ["e1", undefined])
})

test("another person's walk whose shift is over comes before a new one", async () => {
  await put("draft", { ...draft, entry: "e1", ends_at: 14 * HOUR })
  const next = () => form({ dataset: { by: "201" } })

  assert.deepEqual((await follow(next(), 13 * HOUR)).draft.name, "walk:L07:201:list")
  assert.deepEqual((await follow(next(), 14 * HOUR)).over.entry, "e1")
})

test("one that nobody was signed in for is handed in where its maker is asked for", async () => {
  await put("draft", { ...draft, name: "walk:L07::list", by: "", entry: "e1", ends_at: 14 * HOUR })

  assert.deepEqual(await follow(form(), 14 * HOUR), { page: "/kept/walkarounds/list/v1?unit=L07" })
  assert.equal((await follow(form({ dataset: { by: "" } }), 14 * HOUR)).over.entry, "e1")
})

test("a walk by another version of the list goes on with that one", async () => {
  await put("draft", { ...draft, entry: "e1", ends_at: 14 * HOUR })

  const { page } = await follow(form({ version: "v2" }), 7 * HOUR)

  assert.equal(page, "/kept/walkarounds/list/v1?unit=L07")
})

test("what is kept holds no token, no crew number typed and no PIN", async () => {
  const secret = [["csrf_token", "t"], ["signer", "201"], ["signer_pin", "7306"]]
  const page = form({ pairs: [...secret, ["answer:seat", "in_order"], ["photos:seat", "p1"], ["for_shift", String(6 * HOUR)]] })

  await (await follow(page, 7 * HOUR)).save()

  const [{ pairs, photos, ends_at }] = disk.rows("draft")
  assert.deepEqual(pairs.map(([name]) => name), ["answer:seat", "photos:seat", "for_shift"])
  assert.deepEqual([photos, ends_at], [["p1"], 14 * HOUR])
})

test("a walk ends with its shift, with its list's own time, or after twelve hours", () => {
  const ends = (pairs, dataset) => endsAt(form({ pairs, dataset: { began: 7 * HOUR, ...dataset } })) / HOUR

  assert.equal(ends([["for_shift", String(14 * HOUR)]]), 22)
  assert.equal(ends([], { validFor: 10 * HOUR }), 17)
  assert.equal(ends([["for_shift", "5"]]), 19)
})

test("numbers that were typed in other units are asked for again, words are not", () => {
  const fields = [text("value:pressure"), radio("answer:pressure", "value"), radio("answer:seat", "defect"), text("note:seat")]
  const pairs = [["value:pressure", "50"], ["answer:pressure", "value"], ["answer:seat", "defect"], ["note:seat", "torn"]]

  restore(form({ fields }), { pairs, units: "psi" })

  assert.deepEqual(fields.map(({ value, checked }) => checked ?? value), ["", false, true, "torn"])
})

test("what is put back is judged by its limits again", () => {
  const pressure = text("value:pressure")

  restore(form({ fields: [pressure] }), { pairs: [["value:pressure", "50"]], units: "kPa" })

  assert.deepEqual([pressure.value, pressure.told], ["50", ["input"]])
})
