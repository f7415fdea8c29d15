import assert from "node:assert/strict"
import { test } from "node:test"
import { clearsWeekly, seemsPrivate } from "../../../static/js/modules/storage-room.js"

// As these browsers call themselves: from memory, shortened.
const SAFARI = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 Version/18.0 Mobile/15E148 Safari/604.1"
const CHROME = "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 Chrome/130.0.0.0 Mobile Safari/537.36"
const FIREFOX = "Mozilla/5.0 (Android 14; Mobile; rv:130.0) Gecko/130.0 Firefox/130.0"

test("one browser clears what was not opened for a week, except from the home screen", () => {
  assert.equal(clearsWeekly({ userAgent: SAFARI }, false), true)
  assert.equal(clearsWeekly({ userAgent: SAFARI }, true), false)
  assert.equal(clearsWeekly({ userAgent: SAFARI, standalone: true }, false), false)
})

test("the others do not", () => {
  assert.deepEqual([CHROME, FIREFOX].map((userAgent) => clearsWeekly({ userAgent }, false)), [false, false])
})

test("a window that takes nothing, or has little room, is told that it may forget", () => {
  assert.equal(seemsPrivate(false, undefined), true)
  assert.equal(seemsPrivate(true, { used: 0, room: 100_000_000 }), true)
  assert.equal(seemsPrivate(true, { used: 0, room: 2_000_000_000 }), false)
  assert.equal(seemsPrivate(true, undefined), false) // this browser does not tell
})
