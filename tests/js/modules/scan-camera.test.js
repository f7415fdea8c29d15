import assert from "node:assert/strict"
import { test } from "node:test"
import { eachPicture } from "../../../static/js/modules/scan-camera.js"

const canvas = { getContext: () => ({ drawImage() {}, getImageData: (...edges) => edges.join() }) }
globalThis.document = { createElement: () => canvas }

/** A camera whose frames a test gives out one by one. */
function camera() {
  const waiting = []
  const video = { srcObject: {}, videoWidth: 640, videoHeight: 480 }
  video.requestVideoFrameCallback = (callback) => waiting.push(callback)
  return { video, waiting, frame: () => waiting.shift()?.() }
}

test("the next picture is looked at only when the last one is done with", async () => {
  const { video, waiting, frame } = camera()
  let done
  const seen = []
  eachPicture(video, (picture) => seen.push(picture) && new Promise((resolve) => (done = resolve)))

  const first = frame()
  assert.equal(waiting.length, 0)
  done()
  await first

  assert.deepEqual(seen, ["0,0,480,480"])
  assert.equal(waiting.length, 1)
})

test("a camera that was stopped and started again is looked through once", async () => {
  const { video, waiting, frame } = camera()
  let done
  eachPicture(video, () => new Promise((resolve) => (done = resolve)))
  const before = frame()

  video.srcObject = {} // stopped and started while a picture was looked at
  eachPicture(video, () => {})
  done()
  await before
  await frame()
  await frame()

  assert.equal(waiting.length, 1)
})

test("a camera without a picture yet is waited for", async () => {
  const { video, waiting, frame } = camera()
  video.videoWidth = 0

  eachPicture(video, () => assert.fail("looked at nothing"))
  await frame()

  assert.equal(waiting.length, 1)
})
