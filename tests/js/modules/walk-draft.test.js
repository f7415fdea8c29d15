import assert from "node:assert/strict"
import { test } from "node:test"
import { fits } from "../../../static/js/modules/walk-draft.js"

const hour = 3600 * 1000
const fresh = { version: "a", started_at: String(10 * hour) }

test("a draft of this morning is taken up again", () => {
  assert.equal(fits({ version: "a", started_at: String(9 * hour) }, fresh), true)
})

test("a draft of another list or another shift is not", () => {
  assert.equal(fits({ version: "b", started_at: String(9 * hour) }, fresh), false)
  assert.equal(fits({ version: "a", started_at: String(6 * hour) }, fresh), false)
  assert.equal(fits({ version: "a", started_at: String(11 * hour) }, fresh), false)
})

test("where nothing was kept nothing is taken", () => {
  assert.equal(fits({}, fresh), false)
})
