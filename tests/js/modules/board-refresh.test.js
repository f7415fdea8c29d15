import assert from "node:assert/strict"
import { test } from "node:test"
import { moved } from "../../../static/js/modules/board-refresh.js"

const row = (name, top) => ({ name, top, bottom: top + 60 })

test("the first row that the reader sees stays where it was", () => {
  const before = [row("L01", -30), row("L02", 30), row("L03", 90)]
  const after = [row("L00", -30), row("L01", 30), row("L02", 90), row("L03", 150)]

  assert.equal(moved(before, after, 800), 60)
})

test("a row that went under another plate holds nothing", () => {
  const before = [row("L01 not_checked", 30), row("L02 not_checked", 90)]
  const after = [row("L02 not_checked", 30), row("L01 ok_to_run", 900)]

  assert.equal(moved(before, after, 800), -60)
})

test("of two columns the row that stands highest holds", () => {
  assert.equal(moved([row("L09", 80), row("L01", 20)], [row("L09", 85), row("L01", 22)], 800), 2)
})

test("where nothing is seen, nothing moves", () => {
  assert.equal(moved([], [row("L01", 5)], 800), 0)
  assert.equal(moved([row("L01", 5)], [], 800), 0)
  assert.equal(moved([row("L01", 900)], [row("L01", 5)], 800), 0)
})
