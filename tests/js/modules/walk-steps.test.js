import assert from "node:assert/strict"
import { test } from "node:test"
import { dueStep, following, movesOn, tooSoon } from "../../../static/js/modules/walk-steps.js"

const plain = { asks: false, answered: false, wrong: false }
const open = { ...plain, asks: true }
const done = { ...open, answered: true }

test("a fresh walk begins at its cautions", () => {
  assert.equal(dueStep([plain, open, open, plain]), 0)
})

test("a walk that was left goes on at the first open item", () => {
  assert.equal(dueStep([plain, done, done, open, plain]), 3)
})

test("a walk with all its answers goes on at the signature", () => {
  assert.equal(dueStep([plain, done, done, plain]), 3)
})

test("what is wrong comes first", () => {
  assert.equal(dueStep([plain, done, { ...done, wrong: true }, open, plain]), 2)
})

test("after one wrong answer comes the next wrong one, then the signature", () => {
  const wrong = { ...done, wrong: true }
  const steps = [plain, wrong, done, wrong, done, plain]

  assert.equal(following(steps, 1), 3)
  assert.equal(following(steps, 3), 5)
  assert.equal(following(steps, 2), 3)
})

test("only what needs no words leads on at once", () => {
  const lead = ["in_order", "defect", "could_not_check", "not_fitted", "no_worse"]

  assert.deepEqual(lead.filter((answer) => movesOn(answer, false)), [
    "in_order",
    "not_fitted",
    "no_worse",
  ])
})

test("a number outside its limits stays for a word and a photo", () => {
  assert.equal(movesOn("value", false), true)
  assert.equal(movesOn("value", true), false)
})

test("a second tap right after the step has changed counts for nothing", () => {
  assert.equal(tooSoon(1120, 1000), true)
  assert.equal(tooSoon(1400, 1000), false)
})
