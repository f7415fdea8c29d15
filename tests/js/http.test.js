import assert from "node:assert/strict"
import { afterEach, mock, test } from "node:test"
import { ask, me, page, post, put } from "../../static/js/http.js"

/** Let the server answer; returns what it was asked. */
function server(answer) {
  const asked = []
  mock.method(globalThis, "fetch", async (address, options) => {
    asked.push({ address, ...options })
    return answer()
  })
  return asked
}

const html = () => new Response("<html>", { headers: { "Content-Type": "text/html; charset=utf-8" } })

afterEach(() => mock.restoreAll())

for (const [name, [send, answer, method, address]] of Object.entries({
  "a question": [() => ask("/api/v1/kept"), () => Response.json({}), "GET", "/api/v1/kept"],
  "who is signed in": [() => me(), () => Response.json({}), "GET", "/api/v1/me"],
  "entries": [() => post("/api/v1/entries", {}, "t"), () => Response.json({}), "POST", "/api/v1/entries"],
  "a photo": [() => put("/api/v1/photos/0", new ArrayBuffer(1), "t"), () => Response.json({}), "PUT", "/api/v1/photos/0"],
  "a page": [() => page("/kept/unit"), html, undefined, "/kept/unit"],
})) {
  test(`${name} follows no redirect, passes every cache, and shows who asks to our server alone`, async () => {
    const asked = server(answer)

    await send()

    const [{ redirect, cache, credentials, signal }] = asked
    assert.deepEqual([asked.length, asked[0].address, asked[0].method], [1, address, method])
    assert.deepEqual([redirect, cache, credentials], ["error", "no-store", "same-origin"])
    assert.ok(signal instanceof AbortSignal) // no line keeps anybody waiting for ever
  })
}

test("what is sent carries the token, and entries go as JSON", async () => {
  const asked = server(() => Response.json({}))
  const photo = new ArrayBuffer(1)

  await post("/api/v1/entries", { entries: [] }, "token")
  await put("/api/v1/photos/0", photo, "token")

  assert.deepEqual(asked[0].headers, { "Content-Type": "application/json", "X-CSRF-Token": "token" })
  assert.equal(asked[0].body, '{"entries":[]}')
  assert.deepEqual([asked[1].headers, asked[1].body], [{ "X-CSRF-Token": "token" }, photo])
})

test("an answer is JSON only where it says so, and names how long to wait", async () => {
  server(() => new Response("{}", { status: 503, headers: { "Content-Type": "text/html", "Retry-After": "30" } }))

  const { status, json, retryAfter } = await ask("/api/v1/me")

  assert.deepEqual([status, json, retryAfter], [503, undefined, 30_000])
})

for (const [name, answer] of Object.entries({
  "a page that says no": () => new Response("", { status: 403, headers: { "Content-Type": "text/html" } }),
  "an empty page": () => new Response(null, { status: 204, headers: { "Content-Type": "text/html" } }),
  "a page that was led to": () => Object.defineProperty(html(), "redirected", { value: true }),
  "what is no page": () => Response.json({}),
})) {
  test(`${name} is not taken for the page that was asked for`, async () => {
    server(answer)

    await assert.rejects(page("/kept/unit"), /no page/)
  })
}
