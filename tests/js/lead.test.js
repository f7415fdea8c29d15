import assert from "node:assert/strict"
import { mock, test } from "node:test"
import { Disk } from "./disk.js"

const disk = new Disk().install()
const led = []
Object.defineProperty(globalThis, "navigator", { value: {}, configurable: true })
Object.assign(globalThis, {
  location: { assign: (address) => led.push(address) },
  fetch: () => Promise.reject(new TypeError("Failed to fetch")),
})
const { keep } = await import("../../static/js/entries.js")
const { lead } = await import("../../static/js/lead.js")
const record = { id: "e1", by: "101", photos: [], stops: false, entry: { id: "e1", kind: "hours", unit: "L07" } }

async function ledAfter(breaking) {
  mock.timers.enable({ apis: ["setTimeout"] })
  led.length = 0
  await keep(record)
  breaking()
  await lead(record).finally(() => mock.timers.reset())
  return led
}

test("what was kept leads on, to what may be said here without the office", async () => {
  assert.deepEqual(await ledAfter(() => undefined), ["/kept/result?entry=e1"])
})

test("a full disk does not stop the way from what was kept", async (t) => {
  t.after(() => (disk.isFull = false))

  assert.deepEqual(await ledAfter(() => (disk.isFull = true)), ["/kept/result?entry=e1"])
})

test("what was heard and cannot be read does not stop it either", async () => {
  const odd = () => {
    const { rows } = disk.stores.get("heard")
    for (const key of ["site", "unit:L07"]) rows.set(key, { key })
  }

  assert.deepEqual(await ledAfter(odd), ["/kept/result?entry=e1"])
})
