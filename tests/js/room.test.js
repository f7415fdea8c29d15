import assert from "node:assert/strict"
import { test } from "node:test"
import { isFilling, room } from "../../static/js/room.js"

const browser = (usage, quota) => ({ estimate: async () => ({ usage, quota }) })

test("what the browser tells of its room is told", async () => {
  assert.deepEqual(await room(browser(300, 1000)), { used: 300, room: 1000 })
})

test("where a browser does not tell, nobody knows, and it is not called full", async () => {
  assert.equal(await room({}), undefined)
  assert.equal(await room(browser(0, 0)), undefined)
  assert.equal(await isFilling({}), false)
})

test("it is filling from four fifths on", async () => {
  assert.equal(await isFilling(browser(800, 1000)), false)
  assert.equal(await isFilling(browser(801, 1000)), true)
})
