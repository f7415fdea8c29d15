import assert from "node:assert/strict"
import { test } from "node:test"
import { uuid5 } from "../../static/js/ids.js"
import { stoppedBy } from "../../static/js/stopped.js"
import { isCrossed } from "../../static/js/stopping.js"

const walk = (more) => ({
  entry: { kind: "walkaround", unit: "L 7", seen: { seq: 4, hash: "h" } },
  state: "sent", stops: false, shown: "ok_to_run", verdict: { state: "tagged_out", reasons: [] }, ...more,
})

for (const [name, more, wanted] of [
  ["looked good here and is tagged out there", {}, true],
  ["looked good here and is laid up there", { verdict: { state: "laid_up" } }, true],
  ["was in order by this check alone", { shown: "not_checked" }, true],
  ["was good but under restrictions", { shown: "ok_with_restrictions" }, true],
  ["reached the office without a proof", { state: "unconfirmed" }, true],
  ["was cut off before it said how the unit stands", { shown: undefined }, true],
  ["was shown before, and not read", { stop_shown_at: 1 }, true],
  ["was read", { stop_shown_at: 1, told_at: 2 }, false],
  ["waits still", { state: "waiting" }, false],
  ["was refused, so that no verdict came", { state: "refused", verdict: undefined }, false],
  ["was known to be tagged out here", { shown: "tagged_out" }, false],
  ["was known to be laid up here", { shown: "laid_up" }, false],
  ["found it bad itself, and was cut off before it said so", { shown: undefined, stops: true }, false],
  ["may run there", { verdict: { state: "ok_to_run" } }, false],
  ["may run there under restrictions", { verdict: { state: "ok_with_restrictions" } }, false],
  ["is not checked there, which stops nothing that ran", { verdict: { state: "not_checked" } }, false],
  ["is no walk", { entry: { kind: "hours" } }, false],
]) {
  test(`${wanted ? "to be told" : "nothing to tell"}: a walk that ${name}`, () => assert.equal(isCrossed(walk(more)), wanted))
}

/** An office that answers every question with these entries; `asked` gets the addresses. */
function office(entries, asked = []) {
  const headers = new Headers({ "Content-Type": "application/json" })
  globalThis.fetch = async (address) => asked.push(address) && { status: 200, headers, json: async () => ({ entries }) }
  return asked
}

const told = (id, at, by) => ({ id, by, made_at: new Date(at).toISOString() })
const stopped = (...reasons) => stoppedBy(walk({ verdict: { state: "tagged_out", reasons } }))
const ID = "0f3f1b9e-0d5f-4f5a-9a59-3b6a4b4c8d11"

test("a hold, a lay-up or a defect that was told names since when and by whom", async () => {
  const asked = office([told("h", 5, "103"), told("other", 1, "101")])
  const wanted = { at: 5, by: "103" }

  assert.deepEqual(await stopped({ code: "hold", hold: "h" }), wanted)
  assert.deepEqual(await stopped({ code: "laid_up", lay_up: "h" }), wanted)
  assert.deepEqual(await stopped({ code: "defect", defects: ["h"] }), wanted)
  assert.equal(asked[0], "/api/v1/units/L%207/logbook?after=4") // what the walk had not seen
})

test("a defect that a walk found is known by the walk and the item", async () => {
  office([told(ID, 5, "102")])
  const id = await uuid5(ID, "seat")

  assert.deepEqual(await stopped({ code: "defect", item: "seat", defects: [id] }), { at: 5, by: "102" })
})

test("of several the oldest counts, whichever came first", async () => {
  office([told("h", 7, "103"), told("d", 5, "102")])

  assert.deepEqual(await stopped({ code: "hold", hold: "h" }, { code: "defect", defects: ["d"] }), { at: 5, by: "102" })
})

test("what lets it run, and what cannot be found, names nobody", async () => {
  office([told("d", 5, "102")])

  assert.equal(await stopped({ code: "deferred", defects: ["d"] }), undefined)
  assert.equal(await stopped({ code: "deferral_over", defects: ["d"] }), undefined)
  assert.equal(await stopped({ code: "defect", defects: ["x"] }), undefined)
})
