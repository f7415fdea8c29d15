/** Sends what is kept, once; an entry counts as sent only when the server's reply repeats its id. */
import { bodiless, inOrder, isFault, isTaken, outcome, wire } from "./sending.js"

const MOST = 50 // entries in one request
const TRIED = 3 // entries or photos that the server fails at, before it is left alone for a while
const CUT = { status: 599 } // what stands for no answer at all
const REFUSED = new Set([413, 415, 422]) // a photo that is not taken; it stays, until somebody insists

/**
 * `store` keeps, `net` sends, `alone` runs one sender at a time in all tabs.
 * `leaves` is told what is on its way.
 * `flush` says "done", "later", "sign in" or "elsewhere", with how long to wait if the server said.
 */
export function makeOutbox({ store, net, alone, now = Date.now, leaves = () => undefined }) {
  let running
  const flush = (insists = false) => {
    if (running && insists) return running.then(() => flush(true)) // the one that runs may leave things out
    running ??= alone(() => drain(insists)).catch(() => ({ state: "later" })).finally(() => (running = undefined))
    return running
  }
  return { flush }

  async function drain(insists) {
    const me = await net.me()
    if (me.status !== 200 || !me.json?.csrf) return outcome(me)
    const { crew_number: person, csrf: token } = me.json
    const [failed, left, refused] = [new Set(), new Set(), new Set()]
    const round = { person, token, size: MOST, failed, left, refused, insists, now: now() }
    let last = { state: "done" }
    while (last.state === "done" && round.failed.size < TRIED) {
      const batch = inOrder(await store.entries(), round)
      if (batch.length === 0) break
      last = await sendPhotos(batch, round)
      if (last.state === "done") last = await sendBatch(batch, round)
    }
    if (last.state === "done") last = await sendPhotos(await store.entries(), round)
    const over = round.failed.size + round.left.size
    return last.state === "done" && over ? { state: "later" } : last
  }

  async function sendBatch(batch, round) {
    const entries = batch.map((record) => wire(record, round.person))
    leaves(batch.map(({ id }) => id))
    const content = { sent_at: new Date(now()).toISOString(), entries }
    const reply = await net.post("/api/v1/entries", content, round.token)
    const results = reply.status === 200 ? reply.json?.results : undefined
    if (!Array.isArray(results)) return smaller(batch, round, reply)
    let told = 0
    for (const record of batch) {
      const result = results.find((one) => one?.id === record.id)
      if (result) told += await settle(record, result, round.person)
    }
    return { state: told ? "done" : "later" } // a reply that names nothing was not ours
  }

  async function settle(record, result, person) {
    if (isTaken(result)) {
      const proved = record.sealed ? !result.why : record.by === person
      const state = proved ? "sent" : "unconfirmed"
      const { why, verdict } = result
      await store.change(record.id, { state, why, verdict, sent_at: now(), sent_by: person })
      return 1
    }
    if (result.result !== "refused") return 0
    await store.change(record.id, { state: "refused", why: result.why })
    return 1
  }

  // One entry that the server fails at must not keep the others back.
  async function smaller(batch, round, reply) {
    if (!isFault(reply)) return outcome(reply)
    if (batch.length > 1) round.size = 1
    else await failed(batch[0], round, reply.status)
    return { state: "done" }
  }

  async function failed(record, round, status) {
    round.failed.add(record.id)
    await store.change(record.id, { why: bodiless(status) })
  }

  /** Every photo goes before the entry that names it; one that does not get there stops no entry. */
  async function sendPhotos(records, round) {
    for (const sha256 of new Set(records.flatMap((record) => record.photos))) {
      if (round.left.has(sha256) || round.refused.has(sha256) || round.left.size >= TRIED) continue
      const photo = await store.photo(sha256)
      if (!photo || photo.state === "sent" || (photo.state === "refused" && !round.insists)) continue
      const reply = await net.put(`/api/v1/photos/${sha256}`, photo.bytes, round.token).catch(() => CUT)
      if (reply.status === 200 || reply.status === 201) await store.changePhoto(sha256, "sent")
      else if (REFUSED.has(reply.status)) await refuse(sha256, round)
      else if (reply.retryAfter || outcome(reply).state === "sign in") return outcome(reply)
      else round.left.add(sha256) // words never wait behind a photo
      if (reply === CUT) break // a line on which no photo gets through may carry words
    }
    return { state: "done" }
  }

  async function refuse(sha256, round) {
    round.refused.add(sha256) // once in a run
    await store.changePhoto(sha256, "refused")
  }
}

/** How long to wait before the next try: full jitter, so that phones do not come all at once. */
export function pause(tries, { retryAfter = 0 } = {}, random = Math.random) {
  return retryAfter || random() * Math.min(5 * 60_000, 2000 * 2 ** tries)
}

/** One sender in all tabs of this browser; without locks the worst is that an entry is known. */
export function alone(work, locks = globalThis.navigator?.locks) {
  if (!locks) return work()
  const options = { ifAvailable: true }
  return locks.request("walkaround-outbox", options, (lock) => (lock ? work() : { state: "elsewhere" }))
}
