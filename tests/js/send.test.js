import assert from "node:assert/strict"
import { mock, test } from "node:test"
import { Disk } from "./disk.js"

const disk = new Disk().install()
const window = new EventTarget() // the page's own, for "online"
let asked = 0
let answer
Object.defineProperty(globalThis, "navigator", { value: {}, configurable: true })
Object.assign(globalThis, {
  addEventListener: window.addEventListener.bind(window),
  dispatchEvent: window.dispatchEvent.bind(window),
  document: Object.assign(new EventTarget(), { hidden: false }),
  fetch: async () => {
    asked += 1
    return answer()
  },
})
Math.random = () => 1 // every pause as long as it can be
mock.timers.enable({ apis: ["setTimeout", "setInterval"] })
const { keep } = await import("../../static/js/entries.js")
const { sendNow, sendOften } = await import("../../static/js/send.js")
await keep({ id: "e1", by: "101", photos: [], stops: false, entry: { id: "e1", kind: "hours", unit: "L07" } })
answer = () => Promise.reject(new TypeError("Failed to fetch"))
await sendOften()

/** How often the server was asked in what `work` brings about. */
async function askedIn(work) {
  const before = asked
  await work()
  for (let turn = 0; turn < 20; turn++) await new Promise(setImmediate) // reading the disk takes some
  return asked - before
}
const look = () => {
  dispatchEvent(new Event("online"))
  document.dispatchEvent(new Event("visibilitychange"))
}

test("after the pause the server is asked again", async () => {
  assert.equal(await askedIn(() => mock.timers.tick(1999)), 0)
  assert.equal(await askedIn(() => mock.timers.tick(1)), 1)
})

test("the look of every minute cuts no pause short; what may be a signal does", async () => {
  for (let tries = 0; tries < 8; tries++) await askedIn(sendNow) // the pause is 5 min by now
  assert.equal(await askedIn(() => mock.timers.tick(120_000)), 0)

  assert.equal(await askedIn(() => dispatchEvent(new Event("online"))), 1)
  assert.equal(await askedIn(() => document.dispatchEvent(new Event("visibilitychange"))), 1)
})

test("what is kept meanwhile may try at once", async () => {
  assert.equal(await askedIn(sendNow), 1)
})

test("while the server wants to be left alone, only a person who insists asks it", async () => {
  answer = () => new Response("", { status: 503, headers: { "Retry-After": "900" } })
  await askedIn(sendNow)

  assert.equal(await askedIn(look), 0)
  assert.equal(await askedIn(() => mock.timers.tick(600_000)), 0)
  assert.equal(await askedIn(sendNow), 0)
  assert.equal(await askedIn(() => sendNow({ insists: true })), 1)
})

// What may mean a signal again; nothing else wakes a phone whose browser syncs nothing in the background.
const LOOKS = {
  "a line": () => dispatchEvent(new Event("online")),
  "a page that is seen again": () => document.dispatchEvent(new Event("visibilitychange")),
  "a minute": () => mock.timers.tick(60_000),
}

for (const [name, comes] of Object.entries(LOOKS)) {
  test(`with ${name} the server is asked without a tap`, async () => {
    answer = () => new Response("{}", { status: 401, headers: { "Content-Type": "application/json" } })
    await askedIn(() => sendNow({ insists: true })) // nobody is signed in: no pause runs

    assert.equal(await askedIn(comes), 1)
  })
}
