import assert from "node:assert/strict"
import { test } from "node:test"
import { length, moment } from "../../static/js/times.js"

const at = (text) => Date.parse(text)
const madrid = { zone: "Europe/Madrid", language: "en" }

test("today it is the time of day by the site's clock, another day it is named", () => {
  const now = at("2026-11-25T12:00:00Z")

  assert.equal(moment(at("2026-11-25T04:51:00Z"), { ...madrid, now }), "05:51")
  assert.equal(moment(at("2026-11-24T12:40:00Z"), { ...madrid, now }), "24 Nov 13:40")
})

test("which day it is, the site's clock says: at half past midnight there it is a new one", () => {
  const now = at("2026-11-24T23:30:00Z")

  assert.equal(moment(at("2026-11-24T22:30:00Z"), { ...madrid, now }), "24 Nov 23:30")
  assert.equal(moment(now, { ...madrid, now }), "00:30")
})

test("the language of the reader names the month", () => {
  const words = moment(at("2026-08-24T12:40:00Z"), { zone: "Europe/Madrid", language: "es", now: at("2026-11-25T12:00:00Z") })

  assert.equal(words, "24 ago 14:40")
})

test("a length stands in the largest unit that is not coarse", () => {
  const minutes = [0, 0.9, 119.9, 120, 47 * 60 + 59, 48 * 60, 9 * 24 * 60]

  assert.deepEqual(minutes.map((one) => Object.values(length(one * 60_000)).join(" ")), [
    "0 minutes", "0 minutes", "119 minutes", "2 hours", "47 hours", "2 days", "9 days",
  ])
})
