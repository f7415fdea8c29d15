import assert from "node:assert/strict"
import { test } from "node:test"
import { add, pointOf, turned } from "../../../static/js/modules/number-pad.js"

test("a digit goes to the end", () => {
  assert.equal(add("34", "5"), "345")
})

test("a second decimal point is not taken", () => {
  assert.equal(add("4212.5", "."), "4212.5")
  assert.equal(add("4212,5", "."), "4212,5")
})

test("the decimal point is the language's own", () => {
  // Unicode CLDR, as the browser has it: English a full stop, Spanish a comma
  assert.equal(pointOf("en"), ".")
  assert.equal(pointOf("es"), ",")
})

test("a number goes below zero and comes back", () => {
  assert.equal(turned(""), "-")
  assert.equal(turned("12.5"), "-12.5")
  assert.equal(turned("-12.5"), "12.5")
})
