import assert from "node:assert/strict"
import { test } from "node:test"
import { Disk } from "./disk.js"

const disk = new Disk().install()
const { standingOf } = await import("../../static/js/standing.js")
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
