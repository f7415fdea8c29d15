import assert from "node:assert/strict"
import { test } from "node:test"
import { inOrder, isFault, outcome, wire } from "../../static/js/sending.js"

const HOUR = 3600_000
const round = { person: "101", size: 50, failed: new Set() }
const kept = (n, more = {}) => ({ id: `e${n}`, n, by: "101", state: "waiting", stops: false, entry: { id: `e${n}` }, ...more })
const order = (records, more) => inOrder(records, { ...round, ...more }).map(({ n }) => n)

test("what tags a unit out goes first, then what was made first", () => {
  const records = [kept(3), kept(1), kept(4, { stops: true }), kept(2, { stops: true })]

  assert.deepEqual(order(records), [2, 4, 1, 3])
})

test("what is sent, refused or failed in this run is not due", () => {
  const records = [kept(1, { state: "sent" }), kept(2, { state: "refused" }), kept(3), kept(4)]

  assert.deepEqual(order(records, { failed: new Set(["e3"]) }), [4])
})

test("a batch is bounded in number", () => {
  assert.deepEqual(order([kept(1), kept(2), kept(3)], { size: 2 }), [1, 2])
})

test("a batch is bounded in size, but one entry that is too large goes by itself", () => {
  const large = (n, letters) => kept(n, { entry: { note: "x".repeat(letters) } })

  assert.deepEqual(order([large(1, 600_000), large(2, 500_000), large(3, 10)]), [1])
  assert.deepEqual(order([large(1, 2_000_000), kept(2)]), [1])
})

test("an entry of somebody else's is never sent as the sender's own", () => {
  const record = kept(1, { by: "201" })

  assert.deepEqual(wire(record, "101"), { id: "e1", signer: { crew_number: "201" } })
  assert.deepEqual(wire({ ...record, sealed: "x" }, "101"), { id: "e1", signer: { crew_number: "201", sealed_pin: "x" } })
})

test("an entry of the sender's own needs no other signer", () => {
  assert.deepEqual(wire(kept(1), "101"), { id: "e1" })
})

test("a PIN that was sealed is looked at, also under the sign-in of the person named", () => {
  const signer = { crew_number: "101", sealed_pin: "x" }

  assert.deepEqual(wire(kept(1, { sealed: "x" }), "101"), { id: "e1", signer })
})

test("what was unconfirmed is due under its maker's sign-in, unless a PIN was sealed with it", () => {
  const open = kept(1, { state: "unconfirmed", sent_by: "201" })

  assert.deepEqual(order([open]), [1])
  assert.deepEqual(order([{ ...open, sealed: "x", sent_at: Date.now() }]), [])
  assert.deepEqual(order([{ ...open, sent_by: "101" }]), [])
})

test("whether a wrong PIN was made good is asked once an hour, without a PIN to be tried", () => {
  const open = kept(1, { by: "201", state: "unconfirmed", sealed: "x", sent_at: 5 * HOUR })
  const asked = (now) => inOrder([open], { person: "101", size: 50, failed: new Set(), now }).length

  assert.deepEqual([5 * HOUR, 6 * HOUR - 1, 6 * HOUR, 4 * HOUR].map(asked), [0, 0, 1, 1])
  assert.deepEqual(wire(open, "201"), { id: "e1", signer: { crew_number: "201" } })
})

test("a stale token asks for a sign-in, another 400 does not", () => {
  assert.equal(outcome({ status: 400, json: { type: "csrf" } }).state, "sign in")
  assert.equal(outcome({ status: 400, json: { type: "about:blank" } }).state, "later")
  assert.equal(outcome({ status: 401 }).state, "sign in")
})

test("what is about the sender or the moment is nothing that a smaller batch could help", () => {
  const none = [{ status: 401 }, { status: 403 }, { status: 429 }, { status: 200 }, { status: 503, retryAfter: 5_000 }]

  assert.deepEqual(none.filter(isFault), [])
  assert.equal(isFault({ status: 400, json: { type: "csrf" } }), false)
})
