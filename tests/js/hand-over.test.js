import assert from "node:assert/strict"
import { test } from "node:test"
import { fileOf, unsent } from "../../static/js/hand-over.js"

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

test("what is left to hand over is what was not sent, and photos that wait though their entry was", () => {
  const records = [
    { id: "e3", n: 3, state: "sent", photos: ["p1", "p2"] },
    { id: "e2", n: 2, state: "waiting", photos: ["p3", "p4"] },
    { id: "e1", n: 1, state: "refused", photos: ["p4"] },
  ]
  const photos = [["p1", "waiting"], ["p2", "sent"], ["p3", "sent"], ["p4", "waiting"]]

  const left = unsent(records, photos.map(([sha256, state]) => ({ sha256, state })))

  assert.deepEqual(left.records.map(({ id }) => id), ["e1", "e2"])
  assert.deepEqual(left.photos.map(({ sha256 }) => sha256), ["p1", "p3", "p4"])
})
