import assert from "node:assert/strict"
import { test } from "node:test"
import { labelPath, middle, shortened } from "../../../static/js/modules/scan-reading.js"

const SITE = "https://pit.example"
const TOKEN = "abcdefghjkmnpqrstuvw23"

test("a label of this site leads to its path", () => {
  assert.equal(labelPath(`https://pit.example/q/${TOKEN}`, SITE), `/q/${TOKEN}`)
  assert.equal(labelPath(`HTTPS://PIT.EXAMPLE:443/q/${TOKEN}?x#y`, SITE), `/q/${TOKEN}`)
})

test("a code that enrols a phone is taken too, for one on the home screen has no other way in", () => {
  assert.equal(labelPath(`https://pit.example/enrol/${TOKEN}`, SITE), `/enrol/${TOKEN}`)
  assert.equal(labelPath(`https://quarry.example/enrol/${TOKEN}`, SITE), undefined)
})

test("what only looks like a label of this site leads nowhere", () => {
  const foreign = [
    `https://quarry.example/q/${TOKEN}`,
    `http://pit.example/q/${TOKEN}`,
    `https://pit.example:8443/q/${TOKEN}`,
    `https://pit.example.quarry.example/q/${TOKEN}`,
    `https://pit.example@quarry.example/q/${TOKEN}`,
    `https://pit.example/units/L07`,
    `https://pit.example/q/`,
    `https://pit.example/q/../sign-out`,
    `https://pit.example/q/${TOKEN}/more`,
    `/q/${TOKEN}`,
    `javascript:location="https://pit.example/q/${TOKEN}"`,
    "L07",
    "",
  ]

  assert.deepEqual(foreign.filter((text) => labelPath(text, SITE)), [])
})

test("a foreign code is shown short", () => {
  assert.equal(shortened("L07"), "L07")
  assert.equal(shortened("é".repeat(60)), "é".repeat(60))
  assert.equal(shortened("🚜".repeat(61)), `${"🚜".repeat(60)}…`)
})

test("a foreign code is shown without what turns words round or cannot be seen", () => {
  assert.equal(shortened("one\r\n\ttwo\u202Ethree\u0000 "), "one two three")
})

test("the middle square of a picture is looked at, at most 720 wide", () => {
  assert.deepEqual(middle(1280, 720), { x: 280, y: 0, side: 720, size: 720 })
  assert.deepEqual(middle(720, 1280), { x: 0, y: 280, side: 720, size: 720 })
  assert.deepEqual(middle(1920, 1080), { x: 420, y: 0, side: 1080, size: 720 })
  assert.deepEqual(middle(640, 480), { x: 80, y: 0, side: 480, size: 480 })
})
