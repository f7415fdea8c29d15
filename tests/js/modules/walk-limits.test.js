import assert from "node:assert/strict"
import { test } from "node:test"
import { isOutside } from "../../../static/js/modules/walk-limits.js"

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
