import assert from "node:assert/strict"
import { test } from "node:test"
import { isOutside, isTooFine } from "../../../static/js/modules/walk-limits.js"

const limits = { low: "300", high: "400" }

test("a limit itself is still in order", () => {
  // design: limits are inclusive, as the server judges them
  assert.equal(isOutside("300", limits), false)
  assert.equal(isOutside("400", limits), false)
})

test("beyond a limit is outside", () => {
  assert.equal(isOutside("299.9", limits), true)
  assert.equal(isOutside("400,5", limits), true)
})

test("one limit alone judges its own side", () => {
  assert.equal(isOutside("9", { low: "10" }), true)
  assert.equal(isOutside("900", { low: "10" }), false)
})

test("what is no number yet is not judged", () => {
  for (const typed of ["", " ", "-", "3.4.5", "abc"]) assert.equal(isOutside(typed, limits), false)
})

test("a number between two steps is noticed where the limits were turned into another unit", () => {
  assert.equal(isTooFine("43.55", { digits: "1" }), true)
  assert.equal(isTooFine("43,55", { digits: "1" }), true)
  for (const typed of ["43.5", "43.50", "43,", "44", "", "abc"]) {
    assert.equal(isTooFine(typed, { digits: "1" }), false)
  }
})

test("in the list's own unit every number is taken", () => {
  assert.equal(isTooFine("299.999", limits), false)
})
