import assert from "node:assert/strict"
import { test } from "node:test"

/** The module over a window of its own, which makes the events of a browser. */
async function offered(name) {
  const window = new EventTarget()
  globalThis.addEventListener = window.addEventListener.bind(window)
  const module = await import(`../../static/js/install-offer.js?${name}`)
  const asked = []
  const make = (type) => {
    const event = Object.assign(new Event(type, { cancelable: true }), { prompt: async () => asked.push(type) })
    window.dispatchEvent(event)
    return event
  }
  return { ...module, make, asked }
}

test("the browser's offer is kept, and its own bar is not shown", async () => {
  const page = await offered("kept")
  assert.equal(page.isOffered(), false)

  const event = page.make("beforeinstallprompt")

  assert.equal(event.defaultPrevented, true)
  assert.equal(page.isOffered(), true)
  assert.deepEqual(page.asked, [])
})

test("an offer is taken up once", async () => {
  const page = await offered("once")
  page.make("beforeinstallprompt")

  await page.takeUp()

  assert.deepEqual(page.asked, ["beforeinstallprompt"])
  assert.equal(page.isOffered(), false)
})

test("who listens is told when an offer comes, is taken up and is over", async () => {
  const page = await offered("told")
  const told = []
  page.listen(() => told.push(page.isOffered()))

  page.make("beforeinstallprompt")
  await page.takeUp()
  page.make("beforeinstallprompt")
  page.make("appinstalled")

  assert.deepEqual(told, [true, false, true, false])
})
