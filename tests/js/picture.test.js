import assert from "node:assert/strict"
import { test } from "node:test"
import { Disk } from "./disk.js"

const disk = new Disk().install()
const { fitted, keepPicture } = await import("../../static/js/picture.js")

test("a large picture is made to fit, upright or across", () => {
  assert.deepEqual(fitted({ width: 4000, height: 3000 }, 1600), { width: 1600, height: 1200 })
  assert.deepEqual(fitted({ width: 3000, height: 4000 }, 1600), { width: 1200, height: 1600 })
})

test("a small picture is never made larger", () => {
  assert.deepEqual(fitted({ width: 640, height: 480 }, 1600), { width: 640, height: 480 })
})

test("a picture takes none of the room that is for words", async () => {
  disk.isFull = true // the room that was held back has been given up for words
  globalThis.createImageBitmap = () => assert.fail("it went on to be kept")

  await assert.rejects(keepPicture(new Blob(["photo"])), { name: "QuotaExceededError" })
})
