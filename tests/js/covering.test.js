import assert from "node:assert/strict"
import { test } from "node:test"
import { choices, covering } from "../../static/js/covering.js"

const shift = { start: 60, end: 540, early: 0 }
const walked = (more) =>
  covering({ occasion: "start_of_shift", validFor: 0, shift, answers: [{ answer: "in_order" }], startedAt: 70, madeAt: 80, ...more })

test("a whole walk covers the shift that it is for", () => {
  assert.deepEqual(walked(), { start: 60, end: 540 })
})

for (const [name, more] of Object.entries({
  "with something that could not be checked": { answers: [{ answer: "in_order" }, { answer: "could_not_check" }] },
  "at the end of a shift": { occasion: "end_of_shift" },
  "after a repair": { occasion: "after_repair" },
  "for no shift": { shift: undefined },
  "that began before the allowance": { startedAt: -1 },
  "that ended with the shift": { madeAt: 540 },
  "that ended before it began": { startedAt: 90 },
})) {
  test(`a walk ${name} covers nothing`, () => {
    assert.equal(walked(more), undefined)
  })
}

test("the allowance counts from its first instant, and without one only the shift itself", () => {
  assert.deepEqual(walked({ startedAt: 0, madeAt: 0 }), { start: 60, end: 540 })
  assert.equal(walked({ shift: { start: 60, end: 540 }, startedAt: 59 }), undefined)
})

test("a walk that found something bad covers: once that is cleared, the unit may run", () => {
  assert.deepEqual(walked({ answers: [{ answer: "defect" }, { value: 3 }] }), { start: 60, end: 540 })
})

test("a list with a time of its own covers that long, and outside shifts", () => {
  const own = { validFor: 100, shift: undefined, startedAt: 0, madeAt: 100 }

  assert.deepEqual(walked(own), { start: 100, end: 200 })
  assert.equal(walked({ ...own, madeAt: 101 }), undefined)
})

test("of two near shifts the coming one stands first", () => {
  const shifts = [{ start: 0, end: 480, early: -60 }, { start: 480, end: 960, early: 420 }]
  const starts = (now) => choices(shifts, now).map(({ start }) => start)

  assert.deepEqual([starts(419), starts(420), starts(480), starts(960)], [[0], [480, 0], [480], []])
})
