import assert from "node:assert/strict"
import { test } from "node:test"
import { put } from "../../static/js/template.js"

test("each name in braces becomes its words", () => {
  assert.equal(put("{n} of {n}, {unit}", { n: 2, unit: "L07" }), "2 of 2, L07")
})

test("a name without words stays as it is, and an empty word is a word", () => {
  assert.equal(put("{a}{b}{c}", { a: "", c: 0 }), "{b}0")
})

test("words that look like a name or like markup are words", () => {
  assert.equal(put("{a}", { a: "{b} <b>$&</b>" }), "{b} <b>$&</b>")
})
