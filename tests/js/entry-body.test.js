import assert from "node:assert/strict"
import { test } from "node:test"
import { bodyOf } from "../../static/js/entry-body.js"
import { reader } from "../../static/js/walk-body.js"

const HOUR = 3600_000
const body = (kind, given, about = {}) =>
  bodyOf(kind, reader(Object.entries(given).flatMap(([name, value]) => [value].flat().map((one) => [name, one]))), about)
const before = { hours: 100, hoursAt: Date.now() - HOUR }

for (const [name, [kind, given, wanted]] of Object.entries({
  "no hours": ["hours", {}, "hours"],
  "hours that are no number": ["hours", { hours: "many" }, "hours"],
  "hours below zero": ["hours", { hours: "-1" }, "hours"],
  "hours that go back": ["hours", { hours: "99" }, "lower"],
  "hours that run too fast": ["hours", { hours: "103" }, "faster"],
  "a defect without a word": ["defect", { item: "seat" }, "what"],
  "a clear without an outcome": ["clear", { work: "w" }, "outcome"],
  "a clear without work": ["clear", { outcome: "repaired" }, "work"],
  "a clear with hours that are none": ["clear", { outcome: "repaired", work: "w", hours: "x" }, "hours"],
  "a clear with hours that go back": ["clear", { outcome: "repaired", work: "w", hours: "99" }, "lower"],
  "a fill of nothing named": ["fill", { litres: "5" }, "fluid"],
  "a fill of no litres": ["fill", { fluid: "diesel", litres: "0" }, "litres"],
  "a fill with hours that are none": ["fill", { fluid: "diesel", litres: "5", hours: "x" }, "hours"],
  "a fill of more than a hundred per cent": ["fill", { fluid: "diesel", litres: "5", biodiesel_percent: "101" }, "percent"],
})) {
  test(`${name}: ${wanted} is asked for`, () => {
    assert.deepEqual(body(kind, given, before), { wanted })
  })
}

test("whoever says that the meter really shows it is believed, and it is marked", () => {
  assert.deepEqual(body("hours", { hours: "99", insisted: "y" }, before), { body: { value: 99, insisted: true } })
})

test("nothing is marked where nothing is strange", () => {
  assert.deepEqual(body("hours", { hours: "100,5", insisted: "y" }, before), { body: { value: 100.5 } })
  assert.deepEqual(body("hours", { hours: "3" }), { body: { value: 3 } })
})

test("a defect is what was written, else what was tapped", () => {
  const tapped = { item: "seat", findings: ["torn", "loose"], named: ["torn", "loose from its rail"] }

  assert.deepEqual(body("defect", tapped), {
    body: { what: "torn, loose from its rail", item: "seat", findings: ["torn", "loose"] },
    photos: [], text: "torn, loose from its rail",
  })
  assert.equal(body("defect", { ...tapped, what: "burnt" }).text, "burnt")
})

test("a defect at nothing that is named has words, photos and how bad it is, and no findings", () => {
  const given = { what: "smoke", findings: ["torn"], photos: ["p1"], critical: "y" }

  assert.deepEqual(body("defect", given), { body: { what: "smoke", photos: ["p1"], critical: true }, photos: ["p1"], text: "smoke" })
})

test("a clear ends what its line holds, with all photos and no empty words", () => {
  const given = { defect: ["d1", "d2"], outcome: "repaired", work: "new hose", parts: "", hours: "", photos: "p1", photo: "p2" }

  assert.deepEqual(body("clear", given), {
    body: { defects: ["d1", "d2"], outcome: "repaired", work: "new hose", photos: ["p1", "p2"] }, photos: ["p1", "p2"],
  })
})

test("a fill says what was given", () => {
  const given = { fluid: "diesel", litres: "120,5", hours: "100", biodiesel_percent: "0", to_full: "y" }

  assert.deepEqual(body("fill", given, before), {
    body: { fluid: "diesel", litres: 120.5, hours: 100, biodiesel_percent: 0, to_full: true },
  })
})
