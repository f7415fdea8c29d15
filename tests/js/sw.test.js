import assert from "node:assert/strict"
import { readFileSync } from "node:fs"
import { test } from "node:test"
import { createContext, runInContext } from "node:vm"
import { Shelf } from "./shelf.js"

const HERE = "http://site.test"
const SCRIPT = "/static/0123456789abcdef/js/age.js"
const ICON = "/static/0123456789abcdef/icon.svg"
const PAGE = "/kept/unit"
const SOURCE = readFileSync(new URL("../../static/js/sw.js", import.meta.url), "utf8")
const NAMES = `const RELEASE = "new"; const FILES = ["${SCRIPT}", "${ICON}"]; const PAGES = ["${PAGE}"]\n`

const of = (type, body, status = 200) => new Response(body, { status, headers: { "Content-Type": type } })

const WHOLE = {
  [SCRIPT]: () => of("text/javascript; charset=utf-8", "export {}"),
  [ICON]: () => of("image/svg+xml; charset=utf-8", "<svg/>"),
  [PAGE]: () => of("text/html; charset=utf-8", `<html data-release="new">`),
}

/** A worker over these answers of its server, in a browser that keeps nothing yet. */
function worker(answers = WHOLE) {
  const listeners = {}
  const asked = []
  const fetch = async (request, options) => {
    asked.push({ address: request.url ?? request, ...options })
    return answers[new URL(request.url ?? request, HERE).pathname]()
  }
  const caches = new Shelf(HERE)
  const addEventListener = (name, listener) => (listeners[name] = listener)
  const clients = { claim: async () => asked.push("charge") }
  const skipWaiting = async () => asked.push("over")
  const browser = { clients, skipWaiting, Response, URL, setTimeout, location: new URL(HERE), fetch, caches, addEventListener }
  runInContext(NAMES + SOURCE, createContext(browser))
  return { listeners, caches, asked }
}

/** Let it install, and return what it then waits for. */
function install({ listeners }) {
  let work
  listeners.install({ waitUntil: (promise) => (work = promise) })
  return work
}

/** Its answer to a request, if it answers that itself. */
function answer({ listeners }, request) {
  let given
  listeners.fetch({ request, respondWith: (promise) => (given = promise) })
  return given
}

/** Say whether it answers a request itself. */
function answers(made, request) {
  const given = answer(made, request)
  given?.catch(() => undefined)
  return Boolean(given)
}

const get = (path, more = {}) => ({ method: "GET", url: HERE + path, mode: "cors", ...more })

test("it answers pages, files and what is kept", () => {
  const made = worker({ ...WHOLE, "/units/L07": () => of("text/html", "") })

  assert.ok(answers(made, get("/units/L07", { mode: "navigate" })))
  assert.ok(answers(made, get(PAGE, { mode: "navigate" })))
  assert.ok(answers(made, get(SCRIPT)))
})

for (const [name, request] of Object.entries({
  "a form": get("/units/L07/walkarounds", { method: "POST", mode: "navigate" }),
  "a form to an address that is kept": get(PAGE, { method: "POST", mode: "navigate" }),
  "a file that is posted": get(SCRIPT, { method: "POST" }),
  "a photo": get("/api/v1/photos/00", { method: "PUT" }),
  "entries": get("/api/v1/entries", { method: "POST" }),
  "what a script asks for": get("/api/v1/kept"),
  "who is signed in": get("/api/v1/me"),
  "a HEAD": get("/units/L07", { method: "HEAD", mode: "navigate" }),
  "a page of another origin": { ...get("", { mode: "navigate" }), url: `http://other.test${PAGE}` },
  "a file of another origin": { ...get(""), url: `http://other.test${SCRIPT}` },
  "this host at another port": { ...get(""), url: `${HERE}:81${SCRIPT}` },
})) {
  test(`it leaves ${name} to the browser`, () => {
    const made = worker()

    assert.equal(answers(made, request), false)
    assert.deepEqual(made.asked, [])
  })
}

test("a release that is whole is kept, asked for past every other cache", async () => {
  const made = worker()

  await install(made)

  assert.deepEqual(made.caches.paths("walkaround-new"), [SCRIPT, ICON, PAGE])
  const [first] = made.asked
  assert.deepEqual(first, { address: SCRIPT, cache: "reload", redirect: "error" })
})

const led = (response) => Object.defineProperty(response, "redirected", { value: true })

const broken = () => {
  let sent = false
  const pull = (body) => (sent ? body.error(new TypeError("cut")) : body.enqueue(Uint8Array.of((sent = 32))))
  return new ReadableStream({ pull })
}

for (const [name, [address, answer]] of Object.entries({
  "a page in the place of a script": [SCRIPT, () => of("text/html; charset=utf-8", "<html>")],
  "a page of this release in the place of a script": [SCRIPT, WHOLE[PAGE]],
  "a page in the place of a picture": [ICON, () => of("text/html", "<html>")],
  "a script in the place of a picture": [ICON, WHOLE[SCRIPT]],
  "what says nothing of its kind": [SCRIPT, () => new Response(Uint8Array.of(32))],
  "an empty answer": [SCRIPT, () => of("text/javascript", null, 204)],
  "a redirect that was followed": [SCRIPT, () => led(WHOLE[SCRIPT]())],
  "a script that is cut short": [SCRIPT, () => of("text/javascript", broken())],
  "a page that is cut short": [PAGE, () => of("text/html", broken())],
  "a page of another release": [PAGE, () => of("text/html", `<html data-release="old">`)],
  "a file that is not there": [ICON, () => of("text/plain", "", 404)],
})) {
  test(`${name} makes no release`, async () => {
    const made = worker({ ...WHOLE, [address]: answer })
    await made.caches.open("walkaround-before")

    await assert.rejects(install(made))

    assert.deepEqual(await made.caches.keys(), ["walkaround-before"])
  })
}

test("what was kept of the same release stays where keeping it once more fails", async () => {
  const answers = { ...WHOLE }
  const made = worker(answers)
  await install(made)
  answers[PAGE] = () => of("text/html", "", 500)

  await assert.rejects(install(made))

  assert.deepEqual(made.caches.paths("walkaround-new"), [SCRIPT, ICON, PAGE])
})

for (const [path, page] of [["/", "/kept/units"], ["/units?number=7", "/kept/units"], ["/units/L07", "/kept/way"]]) {
  test(`without an answer of the server ${path} shows ${page}`, async () => {
    const made = worker({ [new URL(path, HERE).pathname]: () => of("text/html", "nobody there", 503) })
    const cache = await made.caches.open("walkaround-new")
    for (const address of ["/kept/units", "/kept/way"]) await cache.put(address, of("text/html", address))

    const shown = await answer(made, get(path, { mode: "navigate" }))

    assert.equal(await shown.text(), page)
  })
}

for (const [said, done] of [["take over", ["over"]], ["take charge", ["charge"]], ["send", []], [undefined, []]]) {
  test(`told "${said}", it does ${done[0] ?? "nothing"}`, async () => {
    const made = worker()
    let work

    made.listeners.message({ data: said, waitUntil: (promise) => (work = promise) })
    await work

    assert.deepEqual(made.asked, done)
  })
}
