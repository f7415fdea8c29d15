import assert from "node:assert/strict"
import { test } from "node:test"
import { clockText } from "../../../static/js/modules/walk-timer.js"

test("seconds are shown as a clock shows them", () => {
  assert.equal(clockText(180), "3:00")
  assert.equal(clockText(80), "1:20")
  assert.equal(clockText(9), "0:09")
})
