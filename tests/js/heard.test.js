import assert from "node:assert/strict"
import { afterEach, mock, test } from "node:test"
import { Disk } from "./disk.js"

const disk = new Disk().install()
const { hear, site, unit, units, unitLike } = await import("../../static/js/heard.js")
const { put } = await import("../../static/js/db.js")

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
