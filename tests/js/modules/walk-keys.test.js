import assert from "node:assert/strict"
import { test } from "node:test"

import { enter } from "../../../static/js/modules/walk-keys.js"

const press = (key, more = {}) => ({
  key,
  target: { matches: () => true },
  stopped: false,
  preventDefault() { this.stopped = true },
  ...more,
})

test("Enter notes the number of a step instead of sending the form", () => {
  const tapped = []
  const step = { querySelector: () => ({ click: () => tapped.push("value") }) }
  const event = press("Enter")

  enter(event, step, false)

  assert.deepEqual([event.stopped, tapped], [true, ["value"]])
})

test("Enter sends the form from the last step, and ends no word that is being composed", () => {
  const last = press("Enter")
  const composing = press("Enter", { isComposing: true })

  enter(last, {}, true)
  enter(composing, {}, false)

  assert.deepEqual([last.stopped, composing.stopped], [false, false])
})
