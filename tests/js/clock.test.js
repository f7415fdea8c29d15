import assert from "node:assert/strict"
import { test } from "node:test"
import { aheadBy, officeTime } from "../../static/js/clock.js"

const HOUR = 3600_000

test("the office's clock is as far ahead as its date is of the middle of asking and hearing", () => {
  assert.equal(aheadBy(3 * HOUR, 0, 2000), 3 * HOUR - 1000)
  assert.equal(aheadBy(0, 48 * HOUR, 48 * HOUR), -48 * HOUR)
})

// The rule of all clocks: under 2 minutes a difference counts as none.
test("two clocks that are less than two minutes apart are one", () => {
  assert.deepEqual([119_999, -119_999, 120_000].map((date) => aheadBy(date, 0, 0)), [0, 0, 120_000])
})

test("without a date, or without the office, this phone's clock is all there is", () => {
  assert.equal(aheadBy(NaN, 0, 1), 0)
  assert.equal(officeTime(undefined, 5), 5)
  assert.equal(officeTime({ ahead: -2 }, 5), 3)
})
