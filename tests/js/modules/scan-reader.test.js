import assert from "node:assert/strict"
import { test } from "node:test"
import { makeReader } from "../../../static/js/modules/scan-reader.js"

/** A detector as the Shape Detection API describes it, that finds always the same. */
const detector = (found, formats = ["qr_code", "ean_13"]) => class {
  static getSupportedFormats = async () => formats
  constructor(wanted) {
    this.wanted = wanted
  }
  detect = async () => found.map((rawValue) => ({ rawValue, format: this.wanted.formats.join() }))
}

const decoder = (found) => async () => ({ BarcodeDetector: detector(found) })
const never = async () => assert.fail("the decoder was loaded")

test("the browser's own detector is taken where it reads QR codes, and nothing is loaded", async () => {
  const read = await makeReader(detector(["one", "two"]), "/decode.js", never)

  assert.deepEqual(await read("picture"), ["one", "two"])
})

test("a detector that reads no QR codes is left for the decoder", async () => {
  for (const native of [undefined, detector([], []), detector([], ["ean_13"]), class {}]) {
    const read = await makeReader(native, "/decode.js", decoder(["by the decoder"]))

    assert.deepEqual(await read("picture"), ["by the decoder"])
  }
})

test("the decoder comes from the address that the page names", async () => {
  const asked = []
  const load = async (address) => asked.push(address) && { BarcodeDetector: detector([]) }

  const read = await makeReader(undefined, "/static/1/vendor/qr/decode.js", load)

  assert.deepEqual(asked, ["/static/1/vendor/qr/decode.js"])
  assert.deepEqual(await read("picture"), [])
})

test("without detector and decoder nothing reads", async () => {
  const gone = async () => { throw new TypeError("Failed to fetch") }

  assert.equal(await makeReader(undefined, "", never), undefined)
  assert.equal(await makeReader(undefined, "/decode.js", gone), undefined)
})
