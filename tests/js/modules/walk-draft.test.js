import assert from "node:assert/strict"
import { test } from "node:test"
import { fits } from "../../../static/js/modules/walk-draft.js"

const hour = 3600 * 1000
const fresh = { version: "a", units: "kPa,mm,°C", started_at: String(10 * hour) }
const kept = (hours, more) => ({ ...fresh, started_at: String(hours * hour), ...more })

test("a draft of this morning is taken up again", () => {
  assert.equal(fits(kept(9), fresh), true)
})

test("a draft of another list or another shift is not", () => {
  assert.equal(fits(kept(9, { version: "b" }), fresh), false)
  assert.equal(fits(kept(6), fresh), false)
  assert.equal(fits(kept(11), fresh), false)
})

test("what was typed in other units is not taken for these", () => {
  assert.equal(fits(kept(9, { units: "psi,mm,°C" }), fresh), false)
})

test("where nothing was kept nothing is taken", () => {
  assert.equal(fits({}, fresh), false)
})
