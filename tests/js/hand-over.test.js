import assert from "node:assert/strict"
import { test } from "node:test"
import { fileOf } from "../../static/js/hand-over.js"

const entry = (id) => ({ id, kind: "hours", unit: "L07", made_at: "2026-11-25T05:10:00.000Z", body: { value: 90 } })

test("each entry stands as it would be sent, with whose it is", () => {
  const records = [
    { entry: entry("e1"), by: "101", state: "waiting", found: [] },
    { entry: entry("e2"), by: "201", sealed: "c2VhbGVk", state: "refused", why: "w" },
  ]

  const { entries } = fileOf(records, [])

  assert.deepEqual(entries, [
    { ...entry("e1"), by: "101" },
    { ...entry("e2"), signer: { crew_number: "201", sealed_pin: "c2VhbGVk" } },
  ])
})

test("photos are there whole, in base64 by their names", () => {
  const bytes = Uint8Array.from({ length: 100_001 }, (_, at) => at % 251)

  const { photos } = fileOf([], [{ sha256: "p1", bytes: bytes.buffer }, { sha256: "p2", bytes: new ArrayBuffer(0) }])

  assert.deepEqual(new Uint8Array(Buffer.from(photos.p1, "base64")), bytes) // Node's own decoder, RFC 4648
  assert.equal(photos.p2, "")
})
