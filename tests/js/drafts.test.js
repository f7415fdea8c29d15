import assert from "node:assert/strict"
import { test } from "node:test"
import { Disk } from "./disk.js"

new Disk().install()
const { draftName, draftOf, keepDraft, pageOf } = await import("../../static/js/drafts.js")

test("a draft goes on by that very version of its list", () => {
  const page = pageOf({ checklist: "loader-start", version: "ab12", unit: "L 07/2" })

  assert.equal(page, "/kept/walkarounds/loader-start/ab12?unit=L%2007%2F2")
})

test("each unit, person and list has a draft of its own", () => {
  const names = [draftName("L07", "101", "a"), draftName("L07", "201", "a"), draftName("L08", "101", "a"), draftName("L07", "101", "b")]

  assert.equal(new Set(names).size, 4)
})

test("of two walks of a unit the one that ends first comes first", async () => {
  const draft = (by, ends_at) => ({ name: draftName("L07", by, "a"), unit: "L07", checklist: "a", by, ends_at })
  for (const [by, ends_at] of [["101", 22], ["201", 14], ["301", 30]]) await keepDraft(draft(by, ends_at))

  assert.equal((await draftOf("L07", "a")).by, "201")
  assert.equal(await draftOf("L07", "b"), undefined)
})
