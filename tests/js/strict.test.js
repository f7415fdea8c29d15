import assert from "node:assert/strict"
import { test } from "node:test"
import { strict } from "../../static/js/strict.js"

const HOUR = 3600_000
const me = { crew_number: "101", until: 20 * HOUR }

/** A unit that the office said may run until hour 14, but for what a test says. */
const unit = ({ reasons = [], valid_until = reasons.length ? null : 14 * HOUR, ...more } = {}) =>
  ({ hours: 84, lines: [], looks: [], verdict: { reasons, valid_until }, ...more })

/** A line that is deferred until hour 12 or a reading of 90. */
const deferred = (more) =>
  ({ item: "seat", title: "Seat", deferred: true, defects: ["d1"], bases: ["d1"], until: 12 * HOUR, until_hours: 90, ...more })

const entry = (kind, body = {}, at = 8) => ({ kind, body, made_at: new Date(at * HOUR).toISOString() })
const walk = (more = {}) =>
  ({ by: "101", entry: entry("walkaround"), found: [], covering: { start: 6 * HOUR, end: 14 * HOUR }, ...more })
const says = (given) => strict({ unit: unit(), own: [], now: 9 * HOUR, fresh: true, signedIn: me, ...given })
const state = (given) => says(given).state

test("what was heard holds while it is fresh", () => {
  assert.deepEqual(says(), { state: "ok_to_run", reasons: [], until: 14 * HOUR, said: "heard" })
})

test("what was heard is nothing to go by when it is too old", () => {
  const { state, said } = says({ fresh: false })

  assert.deepEqual([state, said], ["not_checked", "old"])
})

test("when the shift is over that was covered, nobody has walked", () => {
  const { state, reasons } = says({ now: 14 * HOUR })

  assert.equal(state, "not_checked")
  assert.deepEqual(reasons, [{ code: "not_walked" }])
})

for (const [code, wanted] of Object.entries({
  laid_up: "laid_up", defect: "tagged_out", hold: "tagged_out", deferral_over: "tagged_out",
  service_overdue: "tagged_out", doubt: "not_checked", second_look: "not_checked", something_new: "not_checked",
})) {
  test(`a clean walk does not end ${code}`, () => {
    assert.equal(state({ unit: unit({ reasons: [{ code }] }), own: [walk()] }), wanted)
  })
}

for (const code of ["not_walked", "cut_short", "unconfirmed"]) {
  test(`a clean walk of this phone ends ${code}, for its shift alone`, () => {
    const found = unit({ reasons: [{ code }] })

    const { state: now, until, said } = says({ unit: found, own: [walk()] })

    assert.deepEqual([now, until, said], ["ok_to_run", 14 * HOUR, "not heard"])
    assert.equal(state({ unit: found, own: [walk()], now: 14 * HOUR }), "not_checked")
    assert.equal(state({ unit: found, own: [walk()], now: 6 * HOUR - 1 }), "not_checked")
    assert.equal(state({ unit: found, own: [walk({ covering: undefined })] }), "not_checked")
  })
}

test("a walk is clean by this check, and no more, where the office was heard too long ago", () => {
  const { state, said } = says({ own: [walk()], fresh: false })

  assert.deepEqual([state, said], ["not_checked", "in order"])
})

for (const [name, more] of Object.entries({
  "by a PIN that only the office can open": { own: [walk({ sealed: "x" })] },
  "by somebody who is not signed in here": { own: [walk({ by: "201" })] },
  "when the sign-in is over": { own: [walk()], signedIn: { ...me, until: 9 * HOUR } },
  "where nobody was signed in": { own: [walk()], signedIn: null },
})) {
  test(`a walk signed ${name} is unproved`, () => {
    const { state, said } = says(more)

    assert.deepEqual([state, said], ["not_checked", "unproved"])
  })
}

for (const more of [{ state: "refused" }, { state: "unconfirmed" }, { state: "sent", why: "Unconfirmed: ..." }]) {
  test(`a walk that the office did not take as it is covers nothing: ${JSON.stringify(more)}`, () => {
    assert.equal(state({ unit: unit({ reasons: [{ code: "not_walked" }] }), own: [walk(more)] }), "not_checked")
  })
}

test("what a refused walk found bad counts all the same", () => {
  const bad = walk({ state: "refused", found: [{ id: "d2", item: "horn", text: "Horn", covered: false }] })

  assert.equal(state({ own: [bad] }), "tagged_out")
})

test("what was found bad here tags out at once, and is named first", () => {
  const bad = walk({ found: [{ id: "d2", item: "horn", text: "Horn: silent", covered: false }] })

  const { state, reasons, until } = says({ unit: unit({ reasons: [{ code: "not_walked" }] }), own: [bad] })

  assert.deepEqual([state, until], ["tagged_out", null])
  assert.deepEqual([reasons[0].code, reasons[0].text], ["defect", "Horn: silent"])
})

test("a deferral lets the unit run under restrictions, until the first of them is over", () => {
  const found = unit({ reasons: [{ code: "deferred" }], valid_until: 14 * HOUR, lines: [deferred(), deferred({ until: 11 * HOUR })] })

  assert.deepEqual([says({ unit: found }).state, says({ unit: found }).until], ["ok_with_restrictions", 11 * HOUR])
  assert.equal(state({ unit: found, now: 11 * HOUR }), "tagged_out")
  assert.equal(state({ unit: found, own: [walk()], now: 11 * HOUR }), "tagged_out")
})

for (const [name, own] of Object.entries({
  "an entry of hours": { entry: entry("hours", { value: 90 }) },
  "a walk": walk({ entry: entry("walkaround", { hours: 90.5 }) }),
  "a clear": { entry: entry("clear", { defects: [], hours: 91 }) },
})) {
  test(`a deferral is over when ${name} of this phone reaches its hours`, () => {
    const found = unit({ reasons: [{ code: "deferred" }], valid_until: 14 * HOUR, lines: [deferred()] })

    assert.equal(state({ unit: found, own: [own] }), "tagged_out")
    assert.equal(state({ unit: found, own: [{ entry: entry("hours", { value: 89.9 }) }] }), "ok_with_restrictions")
  })
}

const noWorse = walk({ found: [{ id: "d2", item: "seat", text: "Seat", covered: true, than: ["d1"] }] })
const running = unit({ reasons: [{ code: "deferred" }], valid_until: 14 * HOUR, lines: [deferred()] })

test("what is no worse is covered while its deferred defect is", () => {
  assert.equal(state({ unit: running, own: [noWorse] }), "ok_with_restrictions")
  assert.equal(state({ unit: running, own: [noWorse], now: 12 * HOUR }), "tagged_out")
})

test("what is no worse than something that is deferred no more tags out", () => {
  assert.equal(state({ own: [noWorse] }), "tagged_out")
  assert.equal(state({ unit: unit({ ...running, lines: [deferred({ bases: [] })] }), own: [noWorse] }), "tagged_out")
})

test("a clear of the deferred defect alone bares what is no worse, of this phone or of others", () => {
  const clear = { by: "201", sealed: "x", entry: entry("clear", { defects: ["d1"] }) }
  const others = unit({ ...running, lines: [deferred({ defects: ["d1", "d0"] })] })

  assert.equal(state({ unit: running, own: [clear] }), "ok_with_restrictions")
  assert.equal(state({ unit: running, own: [noWorse, clear] }), "tagged_out")
  assert.equal(state({ unit: others, own: [clear] }), "tagged_out")
})

test("a clear of this phone's does not end what tags the unit out: the office knows who may", () => {
  const found = unit({ reasons: [{ code: "defect", defects: ["d1"] }], lines: [deferred({ deferred: false })] })

  assert.equal(state({ unit: found, own: [walk(), { entry: entry("clear", { defects: ["d1"] }) }] }), "tagged_out")
})

test("a clear of what was found here does not end it either", () => {
  const bad = walk({ found: [{ id: "d2", item: "horn", text: "Horn", covered: false }] })

  assert.equal(state({ own: [bad, { entry: entry("clear", { defects: ["d2"] }) }] }), "tagged_out")
})

const looked = (at = 8) => walk({ entry: entry("walkaround", { looked_again: ["c1"] }, at) })
const toLook = (more) => unit({ reasons: [{ code: "second_look", about: "c1" }], looks: [{ clear: "c1", mine: false, at: 7 * HOUR, ...more }] })

test("a second look by somebody else than the mechanic, after the repair, ends that it is due", () => {
  assert.equal(state({ unit: toLook(), own: [looked()] }), "ok_to_run")
  assert.equal(state({ unit: toLook(), own: [walk()] }), "not_checked")
  assert.equal(state({ unit: toLook({ mine: true }), own: [looked()] }), "not_checked")
  assert.equal(state({ unit: toLook(), own: [looked(7)] }), "not_checked")
})

test("while it is laid up it stays laid up, whatever is found", () => {
  const bad = walk({ found: [{ id: "d2", text: "Horn", covered: false }] })

  assert.equal(state({ unit: unit({ reasons: [{ code: "laid_up" }] }), own: [bad] }), "laid_up")
})
