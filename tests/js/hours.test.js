import assert from "node:assert/strict"
import { test } from "node:test"
import { strange } from "../../static/js/hours.js"

const HOUR = 3600_000
const before = { hours: 100, hoursAt: 0 }

test("the meter does not go back", () => {
  assert.equal(strange(99.9, before, HOUR), "lower")
  assert.equal(strange(100, before, HOUR), "")
})

test("no more hours are worked than have passed, and one is allowed for", () => {
  assert.equal(strange(110, before, 9 * HOUR), "")
  assert.equal(strange(110.1, before, 9 * HOUR), "faster")
})

test("a clock that has gone back counts as if no time had passed", () => {
  assert.equal(strange(101.5, before, -HOUR), "faster")
})

test("nothing is strange after no reading, as a page writes that down too", () => {
  assert.equal(strange(5, { hours: "", hoursAt: 0 }), "")
  assert.equal(strange(5, {}), "")
})

test("what stands on a page as text is a number all the same", () => {
  assert.equal(strange(99, { hours: "100", hoursAt: "0" }, HOUR), "lower")
})
