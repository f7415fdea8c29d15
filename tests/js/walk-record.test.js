import assert from "node:assert/strict"
import { test } from "node:test"
import { uuid5 } from "../../static/js/ids.js"
import { badSteps, lacking } from "../../static/js/walk-record.js"
import { made, stepOf } from "./paper-walk.js"

const HOUR = 3600_000
const DAY = Date.parse("2026-11-25T00:00:00Z")
const shift = { start: DAY + 5 * HOUR, end: DAY + 13 * HOUR, early: DAY + 4 * HOUR }
const dataset = { occasion: "start_of_shift", validFor: "", shifts: JSON.stringify([shift]), hours: "84", hoursAt: DAY }
const draft = { entry: "0193600a-0000-7000-8000-000000000001", unit: "L07", checklist: "list", version: "v1", started_at: DAY + 5 * HOUR }
const steps = [{ item: "seat", look: "Seat" }, { item: "pressure", stored: { low: 300, high: 380 }, look: "Pressure" }]
const good = { "answer:seat": "in_order", "value:pressure": "340", for_shift: String(shift.start), hours: "85" }
const pairs = (more) => Object.entries({ ...good, ...more }).flatMap(([name, value]) => [value].flat().map((one) => [name, one]))

const walk = (more = {}, page = {}, rest = {}) =>
  made({ pairs: pairs(more), dataset: { ...dataset, ...page }, steps, draft, signer: { by: "101" }, device: { device: "p" }, now: DAY + 5.2 * HOUR, ...rest })

test("a clean walk is an entry as the contract has it", async () => {
  const { entry } = await walk({ seen: "7:ab" })

  assert.deepEqual(entry, {
    id: draft.entry, kind: "walkaround", unit: "L07", made_at: "2026-11-25T05:12:00.000Z", device: "p", seen: { seq: 7, hash: "ab" },
    body: {
      checklist: "list", version: "v1", for_shift: "2026-11-25T05:00:00.000Z", hours: 85,
      started_at: "2026-11-25T05:00:00.000Z", finished_at: "2026-11-25T05:12:00.000Z",
      answers: [{ item: "seat", answer: "in_order" }, { item: "pressure", value: 340 }],
    },
  })
})

test("a clean walk covers its shift and stops nothing", async () => {
  const { covering, found, stops, by } = await walk()

  assert.deepEqual([covering, found, stops, by], [{ start: shift.start, end: shift.end }, [], false, "101"])
})

test("a defect has the id that the office will give it, and words", async () => {
  const { found, stops } = await walk({ "answer:seat": "defect", "findings:seat": ["torn", "loose"], "note:seat": "rail" })

  const id = await uuid5(draft.entry, "seat") // design: namespace the walk, name the item
  assert.deepEqual(found, [{ id, item: "seat", text: "Seat: torn, loose, rail", covered: false, than: undefined }])
  assert.equal(stops, true)
})

test("a number outside its limits is a defect with the number in its words", async () => {
  const { found } = await walk({ "value:pressure": "290", "than:pressure": "d1" })

  assert.deepEqual([found[0].text, found[0].covered], ["Pressure: 290", false])
})

test("what is no worse is covered by what it names, and stops nothing", async () => {
  const { found, stops } = await walk({ "answer:seat": "no_worse", "than:seat": "d1" })
  const bare = await walk({ "answer:seat": "no_worse" })

  assert.deepEqual([found[0].covered, found[0].than, stops], [true, ["d1"], false])
  assert.deepEqual([bare.found[0].covered, bare.stops], [false, true])
})

test("photos are named by the entry and by the record", async () => {
  const { photos, entry } = await walk({ "answer:seat": "defect", "photos:seat": ["p1", "p2"] })

  assert.deepEqual([photos, entry.body.answers[0].photos], [["p1", "p2"], ["p1", "p2"]])
})

test("a meter that could not be read is not made up, and a strange one is marked", async () => {
  const unread = await walk({ no_hours: "y", hours: "" })
  const strange = await walk({ hours: "200", insisted: "y" })

  assert.equal("hours" in unread.entry.body, false)
  assert.deepEqual([strange.entry.body.hours, strange.entry.body.insisted], [200, true])
})

test("what it covers is judged by the office's clock, and what it says by this one", async () => {
  const { covering, entry } = await walk({}, {}, { ahead: 12 * HOUR })

  assert.equal(covering, undefined)
  assert.equal(entry.made_at, (await walk()).entry.made_at)
})

test("second looks are named", async () => {
  const { entry } = await walk({ looks: ["c1", "c2"] })

  assert.deepEqual(entry.body.looked_again, ["c1", "c2"])
})

const form = (more) => ({ pairs: pairs(more), dataset })
const shown = [{ dataset: {} }, ...steps.map(stepOf), { dataset: {} }]

for (const [name, [more, lack]] of Object.entries({
  "nothing": [{}, undefined],
  "an answer": [{ "answer:seat": "" }, { place: 1, name: "answer" }],
  "a number": [{ "answer:pressure": "value", "value:pressure": "x" }, { place: 2, name: "number" }],
  "the hours": [{ hours: "" }, { place: 3, name: "hours" }],
  "hours that went back": [{ hours: "83" }, { place: 3, name: "lower" }],
  "no hours where they cannot be read": [{ hours: "", no_hours: "y" }, undefined],
  "no more where somebody insists": [{ hours: "83", insisted: "y" }, undefined],
})) {
  test(`what is wanted before it is signed: ${name}`, () => {
    assert.deepEqual(lacking(form(more), shown), lack)
  })
}

test("the steps that found something bad are known by their answers", () => {
  const bad = badSteps(form({ "answer:seat": "defect", "value:pressure": "290" }), shown)

  assert.deepEqual(bad.map(({ dataset: { item } }) => item), ["seat", "pressure"])
})
