import assert from "node:assert/strict"
import { test } from "node:test"
import { wayOf } from "../../static/js/way.js"

const start = { list: "walkarounds", occasion: "start_of_shift" }
const WAYS = {
  "/": { page: "/kept/units" },
  "/board": { page: "/kept/units" },
  "/defects": { page: "/kept/units" },
  "/units": { page: "/kept/units", number: undefined },
  "/units?number=l07": { page: "/kept/units", number: "l07" },
  "/units/L07": { unit: "L07", page: "/kept/unit" },
  "/units/L%2007": { unit: "L 07", page: "/kept/unit" },
  "/units/L07/logbook": { unit: "L07", page: "/kept/unit" },
  "/units/L07/walkarounds/new": { unit: "L07", ...start },
  "/units/L07/walkarounds/new?occasion=end_of_shift": { unit: "L07", ...start, occasion: "end_of_shift" },
  "/units/L07/walkarounds/0192": { unit: "L07", page: "/kept/unit" },
  "/units/L07/defects/new": { unit: "L07", list: "reports", occasion: "start_of_shift" },
  "/units/L07/hours/new": { unit: "L07", page: "/kept/hours" },
  "/units/L07/fills/new": { unit: "L07", page: "/kept/fill" },
  "/defects/L07/d1": { unit: "L07", page: "/kept/unit" },
  "/defects/L07/d1/clearing": { unit: "L07", page: "/kept/clear", defect: "d1" },
  "/defects/L07/d1/deferral": { unit: "L07", page: "/kept/unit" },
  "/q/c2VjcmV0": { label: "c2VjcmV0" },
  "/people": {},
  "/sign-in": {},
}

for (const [address, way] of Object.entries(WAYS)) {
  test(`${address} leads to ${JSON.stringify(way)}`, () => {
    assert.deepEqual(wayOf(new URL(address, "https://site.example")), way)
  })
}
