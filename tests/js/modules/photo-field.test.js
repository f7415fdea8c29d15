import assert from "node:assert/strict"
import { test } from "node:test"
import { fitted, hex } from "../../../static/js/modules/photo-field.js"

test("a large picture is made to fit, upright or across", () => {
  assert.deepEqual(fitted({ width: 4000, height: 3000 }, 1600), { width: 1600, height: 1200 })
  assert.deepEqual(fitted({ width: 3000, height: 4000 }, 1600), { width: 1200, height: 1600 })
})

test("a small picture is never made larger", () => {
  assert.deepEqual(fitted({ width: 640, height: 480 }, 1600), { width: 640, height: 480 })
})

test("a photo is named by the SHA-256 of its bytes", async () => {
  // FIPS 180-4's example: the message "abc"
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode("abc"))

  assert.equal(hex(digest), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")
})
