import assert from "node:assert/strict"
import { test } from "node:test"
import { draftName, pageOf } from "../../static/js/drafts.js"

test("a draft goes on by that very version of its list", () => {
  const page = pageOf({ checklist: "loader-start", version: "ab12", unit: "L 07/2" })

  assert.equal(page, "/kept/walkarounds/loader-start/ab12?unit=L%2007%2F2")
})

test("each unit, person and list has a draft of its own", () => {
  const names = [draftName("L07", "101", "a"), draftName("L07", "201", "a"), draftName("L08", "101", "a"), draftName("L07", "101", "b")]

  assert.equal(new Set(names).size, 4)
})
