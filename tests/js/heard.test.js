import assert from "node:assert/strict"
import { afterEach, mock, test } from "node:test"
import { Disk } from "./disk.js"
import { Shelf } from "./shelf.js"

const disk = new Disk().install()
const { hear, keepPages, site, unit, units, unitLike } = await import("../../static/js/heard.js")
const { put, remove } = await import("../../static/js/db.js")

const said = (numbers, more = {}) => ({ limit: 5, units: numbers.map((number) => ({ number, title: "Loader" })), ...more })

/** Let the server answer; returns what it was asked. */
function server(status, json, tag = 'W/"1"') {
  const asked = []
  const headers = { "Content-Type": json ? "application/json" : "text/html", ETag: tag }
  mock.method(globalThis, "fetch", async (address, options) => {
    asked.push({ address, ...options })
    return new Response(json ? JSON.stringify(json) : null, { status, headers })
  })
  return asked
}

afterEach(() => mock.restoreAll())

test("what the server says is kept, in the place of what it said before", async () => {
  server(200, said(["L07", "D02"]))
  await hear()
  server(200, said(["L08"], { limit: 7 }))

  const answered = await hear()

  assert.equal(answered, true)
  assert.deepEqual((await units()).map(({ number }) => number), ["L08"])
  assert.deepEqual([(await site()).limit, (await site()).units], [7, undefined])
  assert.equal(await unit("L07"), undefined)
})

test("where nothing has changed, what was heard is as fresh as the question", async () => {
  server(200, said(["L07"]))
  await hear()
  await put("heard", { ...(await site()), at: 1 })
  const asked = server(304)

  const answered = await hear()

  assert.deepEqual([answered, asked[0].headers["If-None-Match"]], [true, 'W/"1"'])
  assert.ok(Date.now() - (await site()).at < 60_000)
  assert.equal((await unit("L07")).title, "Loader")
})

test("it is as old as the question, for the answer may have been on its way for long", async () => {
  const before = Date.now()
  let now = before
  mock.method(Date, "now", () => now)
  mock.method(globalThis, "fetch", async () => {
    now += 15_000
    return Response.json(said(["L07"]))
  })

  await hear()

  assert.equal((await site()).at, before)
})

for (const [name, [status, json]] of Object.entries({
  "nobody signed in": [401, { title: "Sign in" }],
  "a page in the place of JSON": [200, undefined],
  "other JSON": [200, { detail: "x" }],
  "a server that fails": [502, undefined],
})) {
  test(`${name} changes nothing of what was heard`, async () => {
    server(200, said(["L07"]))
    await hear()
    await put("heard", { ...(await site()), at: 1 })
    server(status, json)

    const answered = await hear()

    assert.equal(answered, false)
    assert.deepEqual([(await site()).at, (await units()).length], [1, 1])
  })
}

test("a server that knows of nobody signed in ends the sign-in here, and that alone", async () => {
  server(200, said(["L07"], { signed_in: { crew_number: "101", until: 9e15 } }))
  await hear()
  await put("heard", { ...(await site()), at: 1 })
  server(401, { title: "Sign in" })

  await hear()

  const { signed_in, at, limit } = await site()
  assert.deepEqual([signed_in, at, limit, (await units()).length], [null, 1, 5, 1])
  const asked = server(200, said(["L07"]))
  await hear()
  assert.deepEqual(asked[0].headers, {}) // an old tag would bring no news of who is signed in
})

test("a browser that has heard of no site keeps nothing of a server that knows nobody", async () => {
  await remove("heard", "site")
  server(401, { title: "Sign in" })

  await hear()

  assert.equal(await site(), undefined)
})

test("a clock that was wrong is forgiven once the server was heard", async () => {
  await put("phone", { key: "latest", value: Date.now() + 9e9 })
  server(200, said(["L07"]))

  await hear()

  assert.ok(disk.rows("phone").find(({ key }) => key === "latest").value <= Date.now())
})

test("a unit is found however its number is typed", async () => {
  server(200, said(["L 07", "D02"]))
  await hear()

  assert.equal((await unitLike("l07")).number, "L 07")
  assert.equal(await unitLike("l7"), undefined)
})

test("how far the office's clock is ahead is heard with everything, also where nothing is new", async () => {
  const answer = (status, ahead) => {
    const headers = { "Content-Type": "application/json", Date: new Date(Date.now() + ahead).toUTCString() }
    const body = status === 200 ? JSON.stringify(said(["L07"])) : null
    mock.method(globalThis, "fetch", async () => new Response(body, { status, headers }))
    return hear()
  }
  await answer(200, 3 * 3600_000)
  const first = (await site()).ahead
  await answer(304, 0)

  assert.ok(Math.abs(first - 3 * 3600_000) < 60_000)
  assert.equal((await site()).ahead, 0)
})

const LOADER = "/kept/walkarounds/loader/1"
const DOZER = "/kept/reports/dozer/1"
const OLD = "/kept/walkarounds/loader/0"
const ours = (words) => `<html data-release="now">${words}`
const ASKED = { pages: [LOADER, DOZER], language: "en", release: "now" }

/** Give this browser caches, and let the server answer a page's address. */
async function pagesOf(answers) {
  globalThis.caches = new Shelf("http://site.test")
  const cache = await caches.open("walkaround-now")
  await cache.put("/scan", html(ours("what came with the release")))
  await remove("phone", "pages")
  const asked = []
  mock.method(globalThis, "fetch", async (address) => {
    asked.push(address)
    return answers[address.split("?")[0]]?.() ?? html(ours(address))
  })
  return asked
}

const html = (text, more = {}) => new Response(text, { headers: { "Content-Type": "text/html" }, ...more })

const kept = () => caches.paths("walkaround-now").filter((path) => path !== "/scan")

test("the pages that the site needs are kept, once, and again in another language", async () => {
  const asked = await pagesOf({})

  await keepPages(ASKED, "now")
  await keepPages(ASKED, "now")
  assert.deepEqual(asked, [`${LOADER}?lang=en`, `${DOZER}?lang=en`])
  await keepPages({ ...ASKED, language: "es" }, "now")

  assert.deepEqual(kept(), [LOADER, DOZER])
  assert.equal(await caches.words("walkaround-now", DOZER), ours(`${DOZER}?lang=es`))
})

test("pages that no unit needs any more go, but for those of a walk that is open", async () => {
  await pagesOf({})
  await keepPages({ ...ASKED, pages: [LOADER, DOZER, OLD] }, "now")

  await keepPages({ ...ASKED, pages: [LOADER] }, "now", [OLD])

  assert.deepEqual(kept(), [LOADER, OLD])
})

test("a page of another release than the one that stands here asks for nothing", async () => {
  const asked = await pagesOf({})

  await keepPages({ ...ASKED, release: "next" }, "now")

  assert.deepEqual([asked, kept()], [[], []])
})

test("pages of a release that no worker has kept would stand alone, and are not kept", async () => {
  const asked = await pagesOf({})

  await keepPages({ ...ASKED, release: "next" }, "next")

  assert.deepEqual([asked, await caches.keys()], [[], ["walkaround-now"]])
})

test("a release that a worker is bringing just now is left alone", async () => {
  const asked = await pagesOf({})
  await caches.open("walkaround-next") // as the worker does first

  await keepPages({ ...ASKED, release: "next" }, "next")

  assert.deepEqual([asked, await caches.keys()], [[], ["walkaround-now", "walkaround-next"]])
})

test("where the release is taken away at that moment, nothing is kept of it", async () => {
  const asked = await pagesOf({})
  await caches.delete("walkaround-now")
  mock.method(caches, "match", async () => html(ours(""))) // as it was a moment before

  await keepPages(ASKED, "now")

  assert.deepEqual([asked, await caches.keys()], [[], []])
})

for (const [name, answer] of Object.entries({
  "a page of another release": () => html(`<html data-release="next">`),
  "a page of somebody else's": () => html("<html>Pay for this line"),
  "a page that was led to": () => Object.defineProperty(html(ours("")), "redirected", { value: true }),
  "a page that says no": () => html(ours("no"), { status: 403, headers: { "Content-Type": "text/html" } }),
  "what is no page": () => Response.json({ words: ours("") }),
})) {
  test(`${name} is not kept in the place of ours, and is asked for again`, async () => {
    await pagesOf({ [DOZER]: answer })
    await assert.rejects(keepPages(ASKED, "now"))
    assert.deepEqual(kept(), [LOADER])

    const asked = []
    mock.method(globalThis, "fetch", async (address) => asked.push(address) && html(ours(address)))
    await keepPages(ASKED, "now")

    assert.ok(asked.includes(`${DOZER}?lang=en`))
    assert.deepEqual(kept(), [LOADER, DOZER])
  })
}
