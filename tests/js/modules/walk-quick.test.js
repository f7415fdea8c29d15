import assert from "node:assert/strict"
import { test } from "node:test"
import { isQuick } from "../../../static/js/modules/walk-quick.js"

test("nobody reads an item within a second", () => {
  assert.equal(isQuick(5_999, 5_000), true)
  assert.equal(isQuick(6_000, 5_000), false)
})

test("what was shown when the page opened is never too quick", () => {
  assert.equal(isQuick(10, -Infinity), false)
})
