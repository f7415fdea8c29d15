import assert from "node:assert/strict"
import { test } from "node:test"
import { Disk } from "./disk.js"

const disk = new Disk().install()
const { age, ageOf } = await import("../../static/js/age.js")
const { put } = await import("../../static/js/db.js")

const HOUR = 3600_000
const started = { latest: 10 * HOUR, passed: 0, began: 10 * HOUR }

test("what was heard an hour ago is an hour old", () => {
  assert.equal(age(9 * HOUR, { ...started, now: 10 * HOUR }), HOUR)
})

test("a clock that is set back makes it as old as can be: nobody knows any more", () => {
  assert.equal(age(9 * HOUR, { ...started, now: 9.5 * HOUR }), Infinity)
})

test("a clock that is put right by two minutes is no reason to doubt", () => {
  assert.equal(age(9 * HOUR, { ...started, now: 10 * HOUR - 120_000 }), HOUR - 120_000)
  assert.equal(age(9 * HOUR, { ...started, now: 10 * HOUR - 120_001 }), Infinity)
})

test("a clock that stands still while the page goes on is seen", () => {
  const page = { now: 10 * HOUR, latest: 10 * HOUR, began: 10 * HOUR }

  assert.equal(age(9 * HOUR, { ...page, passed: 120_000 }), HOUR)
  assert.equal(age(9 * HOUR, { ...page, passed: 3 * HOUR }), Infinity)
})

test("a phone that slept is no reason to doubt: its clock went on, and the page did not", () => {
  assert.equal(age(9 * HOUR, { now: 15 * HOUR, latest: 10 * HOUR, began: 10 * HOUR, passed: 60_000 }), 6 * HOUR)
})

test("the latest time that a clock has shown outlives the page", async () => {
  const heard = Date.now() - HOUR

  const before = await ageOf(heard)
  await put("phone", { key: "latest", value: Date.now() + HOUR }) // so it was, before it was set back
  const after = await ageOf(heard)

  assert.ok(before >= HOUR && before < HOUR + 60_000)
  assert.equal(after, Infinity)
  assert.ok(disk.rows("phone")[0].value > Date.now())
})
