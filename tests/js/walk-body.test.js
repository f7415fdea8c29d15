import assert from "node:assert/strict"
import { test } from "node:test"
import { answerOf, fails, inListUnit, number, reader, wanted } from "../../static/js/walk-body.js"

const seat = { item: "seat" }
const pressure = { item: "pressure", stored: { low: 300, high: 380 } }
const fields = (given) => reader(Object.entries(given).flatMap(([name, value]) => [value].flat().map((one) => [name, one])))
const answer = (given, about = seat) => answerOf(fields(given), about)

test("a number may have a comma, spaces and a sign, and nothing else", () => {
  const typed = ["1,5", " 12 345.5 ", "-3", "+4", "0", "", "1.2.3", "1e3", "12a", "0x10", "1.1234567", "Infinity"]

  assert.deepEqual(typed.map(number), [1.5, 12345.5, -3, 4, 0, ...Array(7).fill(NaN)])
})

for (const [name, [given, about, sentence]] of Object.entries({
  "no answer": [{}, seat, "answer"],
  "an answer": [{ "answer:seat": "in_order" }, seat, ""],
  "what could not be checked, without a reason": [{ "answer:seat": "could_not_check" }, seat, "why"],
  "what could not be checked, with one": [{ "answer:seat": "could_not_check", "note:seat": "ice" }, seat, ""],
  "a number": [{ "value:pressure": "340" }, pressure, ""],
  "a number that is none": [{ "answer:pressure": "value", "value:pressure": "much" }, pressure, "number"],
  "a number that was not typed": [{ "answer:pressure": "value" }, pressure, "number"],
  "a number and another answer": [{ "answer:pressure": "not_fitted", "value:pressure": "340" }, pressure, "both"],
  "another answer in the place of a number": [{ "answer:pressure": "not_fitted" }, pressure, ""],
})) {
  test(`of ${name} is wanted: ${sentence || "nothing"}`, () => {
    assert.equal(wanted(fields(given), about), sentence)
  })
}

test("an answer says what was given, and nothing that was not", () => {
  const given = { "answer:seat": "in_order", "note:seat": " worn ", "findings:seat": ["torn"], "photos:seat": "" }

  assert.deepEqual(answer(given), { item: "seat", answer: "in_order", note: "worn" })
})

test("a bad answer names findings, photos and when it was given", () => {
  const at = Date.parse("2026-11-25T05:10:00Z")
  const given = { "answer:seat": "defect", "findings:seat": ["torn", "loose"], "photos:seat": ["p1", "p2"], "at:seat": String(at) }

  assert.deepEqual(answer(given), {
    item: "seat", answer: "defect", findings: ["torn", "loose"], photos: ["p1", "p2"], at: "2026-11-25T05:10:00.000Z",
  })
})

test("what it is compared with stands at no worse and at a value alone", () => {
  const given = { "than:seat": ["d1", "d2"] }

  assert.deepEqual(answer({ ...given, "answer:seat": "no_worse" }).than, ["d1", "d2"])
  assert.equal(answer({ ...given, "answer:seat": "defect" }).than, undefined)
  assert.deepEqual(answer({ "than:pressure": "d1", "value:pressure": "290" }, pressure), { item: "pressure", value: 290, than: ["d1"] })
})

test("limits are inclusive, and a missing one judges nothing", () => {
  const bad = (value, stored) => fails({ value }, { stored })

  assert.deepEqual([299.9, 300, 380, 380.1].map((value) => bad(value, pressure.stored)), [true, false, false, true])
  assert.deepEqual([bad(-5, { low: null, high: 380 }), bad(400, { low: 300, high: null }), bad(1, undefined)], [false, false, false])
})

test("words fail by what they say", () => {
  const words = ["in_order", "defect", "no_worse", "not_fitted", "could_not_check"]

  assert.deepEqual(words.map((word) => fails({ answer: word }, {})), [false, true, true, false, false])
})

test("a number in the list's own unit stays as it was typed", () => {
  assert.equal(inListUnit(340.55, pressure.stored), 340.55)
})

test("a number in another unit keeps its side of a limit that lies between two roundings", () => {
  const stored = { factor: 6.894757, offset: 0, digits: 1, low: 34.473785, high: null } // psi, asked in kPa

  assert.equal(inListUnit(50, stored), 344.7)
  assert.ok(inListUnit(4.9, stored) < 34.473785)
  assert.ok(inListUnit(5, stored) >= 34.473785)
})

test("a number on a limit stays on it in another unit", () => {
  const stored = { factor: 100, offset: 0, digits: 2, steps: 2, low: 161.7, high: 245 } // bar, asked in kPa

  assert.equal(inListUnit(2.45, stored), 245) // 2.45 * 100 is a little more, in doubles
})

test("a number between two steps of another unit is asked for again", () => {
  const about = { item: "pressure", stored: { factor: 100, offset: 0, digits: 2, steps: 2, low: 161.7, high: 245 } }
  const typed = (value) => wanted(fields({ "value:pressure": value }), about)

  assert.deepEqual(["2.45", "2,450", "2.451"].map(typed), ["", "", "number"])
})
