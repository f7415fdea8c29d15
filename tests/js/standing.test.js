import assert from "node:assert/strict"
import { test } from "node:test"
import { Disk } from "./disk.js"

const disk = new Disk().install()
const { linesOf, standingOf } = await import("../../static/js/standing.js")
const { all, put } = await import("../../static/js/db.js")

const HOUR = 3600_000
const now = Date.now()
const verdict = { reasons: [], valid_until: now + HOUR }

/** A phone that heard of L07 some hours ago; `records` are its own entries. */
async function phone(ago, records = []) {
  await all("heard")
  disk.stores.forEach(({ rows }) => rows.clear())
  await put("heard", { key: "site", at: now - ago * HOUR, limit: 12 * HOUR, signed_in: null })
  await put("heard", { key: "unit:L07", number: "L07", hours: 84, lines: [], looks: [], verdict })
  for (const one of records) await put("entry", one)
}

const bad = (more) => ({
  id: "e1", n: 1, by: "101", state: "waiting", photos: [], entry: { unit: "L07", kind: "defect", body: {} },
  found: [{ id: "e1", text: "smoke", covered: false }], ...more,
})

test("it stands as it was heard, while that is younger than the site's limit", async () => {
  await phone(11)
  const young = await standingOf("L07")
  await phone(12)
  const old = await standingOf("L07")

  assert.deepEqual([young.verdict.state, old.verdict.state], ["ok_to_run", "not_checked"])
})

test("of a unit that it has not heard of it says nothing", async () => {
  await phone(1)

  assert.equal(await standingOf("L08"), undefined)
})

test("its own entries count until the office was heard after it had them", async () => {
  const states = []
  for (const more of [{}, { state: "sent", sent_at: now }, { state: "sent", sent_at: now - 2 * HOUR }, { state: "refused" }]) {
    await phone(1, [bad(more)])
    states.push((await standingOf("L07")).verdict.state)
  }

  assert.deepEqual(states, ["tagged_out", "tagged_out", "ok_to_run", "tagged_out"])
})

test("what it recorded of other units is theirs", async () => {
  await phone(1, [bad({ entry: { unit: "D02", kind: "defect", body: {} } })])

  assert.equal((await standingOf("L07")).verdict.state, "ok_to_run")
})

test("a shift is over when it is by the office's clock, however far behind this one is", async () => {
  await phone(1)
  const before = await standingOf("L07")
  await put("heard", { key: "site", at: now - HOUR, limit: 12 * HOUR, signed_in: null, ahead: 2 * HOUR })

  const { verdict } = await standingOf("L07")

  assert.deepEqual([before.verdict.state, verdict.state], ["ok_to_run", "not_checked"])
})

const clean = {
  id: "e2", n: 2, by: "101", state: "waiting", photos: [], found: [], covering: { start: now - 72 * HOUR, end: now + HOUR },
  entry: { unit: "L07", kind: "walkaround", made_at: new Date(now).toISOString(), body: {} },
}

for (const [name, own, said] of [["what was heard", [], "old"], ["a clean walk", [clean], "in order"]]) {
  test(`a clock that is set back two days keeps no OK of ${name} alive, and one that goes on does`, async () => {
    await phone(1, own)
    await put("heard", { key: "site", at: now - HOUR, limit: 12 * HOUR, signed_in: { crew_number: "101", until: now + HOUR } })
    const before = await standingOf("L07")
    await put("phone", { key: "latest", value: now + 48 * HOUR }) // what the clock showed before

    const { verdict, age } = await standingOf("L07")

    assert.equal(before.verdict.state, "ok_to_run")
    assert.deepEqual([verdict.state, verdict.said, age], ["not_checked", said, Infinity])
  })
}

const heard = { item: "seat", title: "Seat", found: ["torn"], since: "05:51", defects: ["d1"] }
const own = (...found) => bad({ kept_at: 7, found })

test("what was found here alone is a line of its own, with when", () => {
  const smoke = { id: "e1", text: "Smoke", covered: false }

  const lines = linesOf({ lines: [heard] }, [own(smoke), own({ id: "e2", text: "Smoke" })])

  assert.deepEqual(lines[0], heard)
  assert.deepEqual(lines.slice(1).map(({ title, defects, at }) => [title, defects, at]), [["Smoke", ["e1"], 7], ["Smoke", ["e2"], 7]])
})

test("what was found here on an item that has a line stands in it, so that one tap ends it whole", () => {
  const [line, ...more] = linesOf({ lines: [heard] }, [own({ id: "e1", item: "seat", text: "Seat: loose" })])

  assert.deepEqual([line.title, line.found, line.defects], ["Seat", ["torn", "loose"], ["d1", "e1"]])
  assert.deepEqual([more, heard.defects], [[], ["d1"]]) // what was heard is left as it was
})

test("what was found here twice on an item is one line", () => {
  const found = ["Seat: torn", "Seat: torn", "Seat: loose"].map((text, n) => ({ id: `e${n}`, item: "seat", text }))

  const lines = linesOf({ lines: [] }, found.map((one) => own(one)))

  assert.deepEqual(lines.map(({ title, found, defects }) => [title, found, defects]), [["Seat: torn", ["Seat: loose"], ["e0", "e1", "e2"]]])
})

test("what the office has told of already stands there once", () => {
  const line = linesOf({ lines: [heard] }, [own({ id: "d1", item: "seat", text: "Seat: torn" })])

  assert.deepEqual(line, [heard])
})
