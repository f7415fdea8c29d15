import assert from "node:assert/strict"
import { test } from "node:test"
import { alone, makeOutbox, pause } from "../../static/js/outbox.js"

const ME = { status: 200, json: { crew_number: "101", csrf: "t" } }

/** An entry as the phone keeps it. */
const kept = (n, more = {}) => {
  const entry = { id: `e${n}`, kind: "hours", unit: "L07", made_at: "2026-11-25T05:10:00.000Z", body: { value: n } }
  return { id: `e${n}`, n, by: "101", state: "waiting", photos: [], stops: false, ...more, entry }
}

/** A phone and a server; `answer` says what comes back to a request, and may throw. */
function phone(records, answer, { me = ME, photos = {} } = {}) {
  const posts = []
  const puts = []
  const all = new Map(records.map((record) => [record.id, record]))
  const store = {
    entries: async () => [...all.values()],
    change: async (id, changes) => all.set(id, { ...all.get(id), ...changes }),
    photo: async (name) => photos[name],
    changePhoto: async (name, state) => (photos[name] = { ...photos[name], state }),
  }
  const net = {
    me: async () => (typeof me === "function" ? me() : me),
    post: async (address, content, token) => {
      posts.push(content.entries)
      return answer({ address, content, token })
    },
    put: async (address) => {
      puts.push(address)
      return answer({ address })
    },
  }
  const left = []
  const leaves = (ids) => left.push(ids)
  const outbox = makeOutbox({ store, net, alone: (work) => work(), now: () => 1_000, leaves })
  return { ...outbox, left, posts, puts, all, photos, states: () => [...all.values()].map(({ state }) => state) }
}

const naming = (result) => ({ content }) =>
  ({ status: 200, json: { results: content.entries.map(({ id }) => ({ id, ...result })) } })
const accepts = naming({ result: "accepted" })
const fails = (error) => () => {
  throw error
}

// What a reply may be besides what the contract promises, and what it means.
const REPLIES = {
  "a page in the place of JSON": [() => ({ status: 200 }), "later"],
  "a redirect, which is an error of the line": [fails(new TypeError("Failed to fetch")), "later"],
  "nothing at all (204)": [() => ({ status: 204 }), "later"],
  "JSON that is cut off": [fails(new SyntaxError("Unexpected end of JSON input")), "later"],
  "no answer in time": [fails(new DOMException("timed out", "TimeoutError")), "later"],
  "somebody else's id": [() => ({ status: 200, json: { results: [{ id: "x", result: "accepted" }] } }), "later"],
  "no results": [() => ({ status: 200, json: {} }), "later"],
  "results that are no list": [() => ({ status: 200, json: { results: "all" } }), "later"],
  "results of nothing": [() => ({ status: 200, json: { results: [null] } }), "later"],
  "a result that nobody knows": [naming({ result: "perhaps" }), "later"],
  "a token that is too old": [() => ({ status: 400, json: { type: "csrf" } }), "sign in"],
  "nobody signed in": [() => ({ status: 401, json: {} }), "sign in"],
  "too many tries": [() => ({ status: 429, retryAfter: 30_000 }), "later"],
  ...Object.fromEntries(
    [400, 403, 409, 413, 422, 429, 500, 502, 503, 504].map((status) => [status, [() => ({ status }), "later"]]),
  ),
}

for (const [name, [reply, told]] of Object.entries(REPLIES)) {
  test(`after ${name} the entry is still there`, async () => {
    const own = phone([kept(1), kept(2)], reply)

    const { state } = await own.flush()

    assert.equal(state, told)
    assert.deepEqual(own.states(), ["waiting", "waiting"])
  })
}

test("how long the server wants to be left alone is told", async () => {
  const own = phone([kept(1)], () => ({ status: 429, retryAfter: 30_000 }))

  const told = await own.flush()

  assert.equal(told.retryAfter, 30_000)
  assert.equal(own.posts.length, 1)
})

for (const me of [{ status: 401 }, { status: 503 }, { status: 200 }, { status: 200, json: {} }]) {
  test(`nothing is sent while ${JSON.stringify(me)} is all that is known of who is signed in`, async () => {
    const own = phone([kept(1)], accepts, { me })

    const { state } = await own.flush()

    assert.equal(state, me.status === 401 ? "sign in" : "later")
    assert.deepEqual(own.posts, [])
  })
}

for (const result of ["accepted", "known"]) {
  test(`an entry that is ${result} counts as sent`, async () => {
    const own = phone([kept(1)], naming({ result }))

    const { state } = await own.flush()

    assert.equal(state, "done")
    const { sent_at, sent_by, ...record } = own.all.get("e1")
    assert.deepEqual([record.state, sent_at, sent_by], ["sent", 1_000, "101"])
  })
}

test("one that is refused is kept with its reason, and the others go", async () => {
  const refuse = ({ id }) => (id === "e2" ? { id, result: "refused", why: "no such unit" } : { id, result: "accepted" })
  const own = phone([kept(1), kept(2), kept(3)], ({ content }) =>
    ({ status: 200, json: { results: content.entries.map(refuse) } }))

  const { state } = await own.flush()

  assert.equal(state, "done")
  assert.deepEqual(own.states(), ["sent", "refused", "sent"])
  assert.equal(own.all.get("e2").why, "no such unit")
})

test("of sixty with one malformed, fifty-nine go in the same run", async () => {
  const records = Array.from({ length: 60 }, (_, at) => kept(at + 1))
  const read = ({ id }) => (id === "e7" ? { id, result: "refused", why: "unreadable" } : { id, result: "accepted" })
  const own = phone(records, ({ content }) => ({ status: 200, json: { results: content.entries.map(read) } }))

  await own.flush()

  assert.equal(own.states().filter((state) => state === "sent").length, 59)
  assert.deepEqual(own.posts.map(({ length }) => length), [50, 10])
})

for (const status of [500, 413, 400, 422]) {
  test(`one that makes a server say ${status} to all does not keep the others back`, async () => {
    const records = Array.from({ length: 60 }, (_, at) => kept(at + 1))
    const own = phone(records, (sent) => {
      const isBad = sent.content.entries.some(({ id }) => id === "e7")
      return isBad ? { status } : accepts(sent)
    })

    const { state } = await own.flush()

    assert.equal(state, "later")
    assert.equal(own.states().filter((one) => one === "sent").length, 59)
    assert.deepEqual([own.all.get("e7").state, own.all.get("e7").why], ["waiting", `status ${status}`])
  })
}

test("a server that fails at everything is left alone after a few tries", async () => {
  const own = phone(Array.from({ length: 40 }, (_, at) => kept(at + 1)), () => ({ status: 500 }))

  const { state } = await own.flush()

  assert.equal(state, "later")
  assert.deepEqual(own.posts.map(({ length }) => length), [40, 1, 1, 1])
})

test("a photo goes before the entry that names it", async () => {
  const order = []
  const own = phone([kept(1, { photos: ["p1"] })], (sent) => {
    order.push(sent.address)
    return sent.content ? accepts(sent) : { status: 201 }
  }, { photos: { p1: { state: "waiting", bytes: new ArrayBuffer(3) } } })

  await own.flush()

  assert.deepEqual(order, ["/api/v1/photos/p1", "/api/v1/entries"])
  assert.equal(own.photos.p1.state, "sent")
})

// Room for photos, a picture that is none, a wrong hash, a fault there, no answer, what something on
// the way says of them: none is the entry's.
const PHOTOS = {
  ...Object.fromEntries([0, 403, 404, 405, 408, 429, 500, 502, 507].map((status) => [status, "waiting"])),
  ...Object.fromEntries([413, 415, 422].map((status) => [status, "refused"])),
}

for (const [status, left] of Object.entries(PHOTOS)) {
  test(`a photo to which ${status} is said keeps no entry back`, async () => {
    const own = phone([kept(1, { photos: ["p1"] })], (sent) => {
      if (sent.content) return accepts(sent)
      if (status === "0") throw new TypeError("Failed to fetch")
      return { status: Number(status) }
    }, { photos: { p1: { state: "waiting", bytes: new ArrayBuffer(3) } } })

    const { state } = await own.flush()

    assert.deepEqual(own.states(), ["sent"])
    assert.equal(own.photos.p1.state, left)
    assert.equal(state, left === "waiting" ? "later" : "done")
  })
}

test("a photo that was refused goes again only when somebody insists, once", async () => {
  const photos = { p1: { state: "refused", bytes: new ArrayBuffer(3) } }
  const records = [kept(1, { photos: ["p1"] }), kept(2, { photos: ["p1"] })]
  const own = phone(records, (sent) => (sent.content ? accepts(sent) : { status: 413 }), { photos })

  await own.flush()
  assert.deepEqual(own.puts, [])
  await Promise.all([own.flush(), own.flush(true)]) // the first one is under way

  assert.deepEqual([own.puts.length, own.photos.p1.state], [1, "refused"])
})

test("a photo is not asked for twice in one run, and few are tried at a server that takes none", async () => {
  const names = ["p1", "p2", "p3", "p4", "p5"]
  const photos = Object.fromEntries(names.map((name) => [name, { state: "waiting", bytes: new ArrayBuffer(3) }]))
  const own = phone([kept(1, { photos: names })], (sent) => (sent.content ? accepts(sent) : { status: 500 }), { photos })

  await own.flush()

  assert.deepEqual(own.puts.map((address) => address.at(-1)), ["1", "2", "3"])
})

test("a photo that is left over goes though its entry is sent already", async () => {
  const photos = { p1: { state: "waiting", bytes: new ArrayBuffer(3) } }
  const own = phone([kept(1, { state: "sent", photos: ["p1"] })], () => ({ status: 200 }), { photos })

  const { state } = await own.flush()

  assert.deepEqual([state, own.photos.p1.state, own.posts.length], ["done", "sent", 0])
})

for (const reply of [{ status: 429, retryAfter: 30_000 }, { status: 400, json: { type: "csrf" } }]) {
  test(`a photo to which ${JSON.stringify(reply)} is said stops the round`, async () => {
    const photos = { p1: { state: "waiting", bytes: new ArrayBuffer(3) } }
    const own = phone([kept(1, { photos: ["p1"] })], () => reply, { photos })

    const told = await own.flush()

    assert.deepEqual([own.posts.length, own.photos.p1.state], [0, "waiting"])
    assert.deepEqual([told.state, told.retryAfter], reply.json ? ["sign in", undefined] : ["later", 30_000])
  })
}

test("when nobody is signed in any more, photos stop too", async () => {
  const photos = { p1: { state: "waiting", bytes: new ArrayBuffer(3) } }
  const own = phone([kept(1, { photos: ["p1"] })], () => ({ status: 401 }), { photos })

  const { state } = await own.flush()

  assert.deepEqual([state, own.posts.length, own.photos.p1.state], ["sign in", 0, "waiting"])
})

test("what somebody else made goes as theirs, and waits for them where it could not be proved", async () => {
  const why = "Unconfirmed: ..."
  const own = phone([kept(1, { by: "201" })], naming({ result: "accepted", why }))

  await own.flush()

  assert.deepEqual(own.posts[0][0].signer, { crew_number: "201" })
  assert.equal(own.all.get("e1").state, "unconfirmed")
})

test("a sealed PIN that the server found right counts as sent, a wrong one does not", async () => {
  const sealed = { by: "201", sealed: "c2VhbGVk" }
  const right = phone([kept(1, sealed)], accepts)
  const wrong = phone([kept(1, sealed)], naming({ result: "accepted", why: "Unconfirmed: ..." }))

  await Promise.all([right.flush(), wrong.flush()])

  assert.deepEqual([right.states(), wrong.states()], [["sent"], ["unconfirmed"]])
})

test("a wrong PIN confirms nothing while the person named is signed in either", async () => {
  const me = { status: 200, json: { crew_number: "201", csrf: "t" } }
  const own = phone([kept(1, { by: "201", sealed: "x" })], naming({ result: "accepted", why: "Unconfirmed: ..." }), { me })

  await own.flush()
  await own.flush()

  assert.deepEqual([own.states(), own.posts.length], [["unconfirmed"], 1])
})

test("under its maker's own sign-in what was unconfirmed goes once more, and is then sent", async () => {
  const me = { status: 200, json: { crew_number: "201", csrf: "t" } }
  const own = phone([kept(1, { by: "201", state: "unconfirmed", sent_by: "101" })], naming({ result: "known" }), { me })

  await own.flush()

  assert.equal(own.posts[0][0].signer, undefined)
  assert.deepEqual([own.all.get("e1").state, own.all.get("e1").sent_by], ["sent", "201"])
})

test("what was unconfirmed does not go again and again under anybody else's", async () => {
  const own = phone([kept(1, { by: "201", state: "unconfirmed", sent_by: "101" })], accepts)

  const { state } = await own.flush()

  assert.deepEqual([state, own.posts], ["done", []])
})

test("what goes out is told as it goes", async () => {
  const own = phone([kept(1), kept(2, { state: "refused" }), kept(3)], accepts)

  await own.flush()

  assert.deepEqual(own.left, [["e1", "e3"]])
})

test("two calls at once are one run", async () => {
  const own = phone([kept(1)], accepts)

  const told = await Promise.all([own.flush(), own.flush()])

  assert.deepEqual(told, [{ state: "done" }, { state: "done" }])
  assert.equal(own.posts.length, 1)
})

test("after a run that failed there is another one", async () => {
  let isUp = false
  const own = phone([kept(1)], accepts, { me: () => (isUp ? ME : Promise.reject(new TypeError("Failed to fetch"))) })

  const first = await own.flush()
  isUp = true
  const second = await own.flush()

  assert.deepEqual([first.state, second.state, own.states()], ["later", "done", ["sent"]])
})

test("one tab sends at a time, and without locks it works all the same", async () => {
  const free = { request: (_name, _options, work) => Promise.resolve(work({})) }
  const taken = { request: (_name, { ifAvailable }, work) => Promise.resolve(work(ifAvailable ? null : {})) }
  const work = async () => ({ state: "done" })

  assert.deepEqual(await alone(work, free), { state: "done" })
  assert.deepEqual(await alone(work, taken), { state: "elsewhere" })
  assert.deepEqual(await alone(work, undefined), { state: "done" })
})

/** Numbers that look random and are the same in every run (Lehmer, 48271 modulo 2^31 - 1). */
function numbers(seed) {
  return () => (seed = (seed * 48271) % 2147483647) / 2147483647
}

test("phones that wait for a server do not come back all at once", () => {
  // Full jitter, as in "Exponential Backoff And Jitter" (AWS architecture blog, 2015).
  const back = 120_000 // milliseconds after which it is there again
  const arrivals = Array.from({ length: 200 }, (_, at) => {
    const random = numbers(at + 1)
    let now = 0
    for (let tries = 0; now < back; tries++) now += pause(tries, {}, random)
    return Math.floor(now / 1000)
  })

  const inOneSecond = (second) => arrivals.filter((one) => one === second).length

  assert.ok(Math.max(...arrivals.map(inOneSecond)) <= 20)
})

test("a pause is at most five minutes, however long it goes on", () => {
  const most = [0, 1, 4, 8, 2000].map((tries) => pause(tries, {}, () => 1))

  assert.deepEqual(most, [2_000, 4_000, 32_000, 300_000, 300_000])
})

test("what the server says about waiting wins", () => {
  assert.equal(pause(3, { retryAfter: 45_000 }, () => 0), 45_000)
})
