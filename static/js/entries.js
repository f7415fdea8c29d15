/** Entries and photos on this phone, from their making until long after they were sent. */
import * as db from "./db.js"
import { sha256 } from "./ids.js"
import { withRoom } from "./room.js"

const KEPT = 30 * 24 * 3600 * 1000 // milliseconds that an entry stays here after it was sent
const PAUSES = [300, 1000, 3000] // milliseconds: what is signed is worth a wait on a full phone

/**
 * Keep an entry, give it the phone's next number, and end the draft that it was made of, all in
 * one; it is on the disk when this has resolved. One that is here already stays as it is.
 */
export function keep(record, draft) {
  return withRoom(() => write(record, draft), PAUSES).then(tell)
}

function write(record, draft) {
  return db.change(["entry", "phone", "draft"], (tx) => {
    if (draft) tx.objectStore("draft").delete(draft)
    const before = tx.objectStore("entry").get(record.id)
    before.onsuccess = () => before.result || add(record, tx) // a second tap makes no second entry
  })
}

function add(record, tx) {
  const counter = tx.objectStore("phone").get("n")
  counter.onsuccess = () => {
    const next = numbered(counter.result, record.entry.device)
    const entry = { ...record.entry, ...(record.entry.device ? { n: next.made } : {}) }
    tx.objectStore("phone").put(next)
    tx.objectStore("entry").put({ ...record, entry, n: next.value, state: "waiting", kept_at: Date.now() })
  }
}

// `value` is the order on this phone; `made` goes without a hole, so that the office sees one.
function numbered(before, device) {
  const next = { ...before, key: "n", value: (before?.value ?? 0) + 1 }
  return device ? { ...next, device, made: madeOf(before, device) + 1 } : next
}

/** How many entries were made here under that name of this phone. */
export const madeOf = (counter, device) => (counter?.device === device ? counter.made : 0)

export const entries = () => db.all("entry")

export const entry = (id) => db.get("entry", id)

export const photo = (name) => db.get("photo", name)

export function change(id, changes) {
  return update("entry", id, (record) => ({ ...record, ...changes })).then(tell)
}

export function changePhoto(name, state) {
  return update("photo", name, (record) => ({ ...record, state })).then(tell)
}

/** Keep a photo as its bytes: browsers have lost what was kept as a Blob. */
export async function keepPhoto(bytes, type) {
  if (!(bytes instanceof ArrayBuffer)) throw new TypeError("A photo is kept as an ArrayBuffer.")
  const name = await sha256(bytes)
  await db.put("photo", { sha256: name, type, bytes, state: "waiting", kept_at: Date.now() })
  return name
}

/** Forget what was sent long ago, and photos that nothing here needs any more. */
export async function tidy(now = Date.now()) {
  // Drafts first: one that becomes an entry meanwhile is then found twice, and not never.
  const [drafts, records, photos] = await Promise.all(["draft", "entry", "photo"].map(db.all))
  const unsent = new Set(photos.filter(({ state }) => state !== "sent").map((one) => one.sha256))
  const isDue = (record) => (name) => record.state !== "sent" || unsent.has(name)
  const due = records.flatMap((record) => record.photos.filter(isDue(record)))
  const isOld = ({ state, sent_at }) => state === "sent" && now - sent_at > KEPT
  const over = records.filter((record) => isOld(record) && !record.photos.some(isDue(record)))
  const needed = new Set([...due, ...drafts.flatMap((draft) => draft.photos)])
  const young = (one) => now - one.kept_at < 3600_000 // its draft may be on its way to the disk
  const left = photos.filter((one) => !needed.has(one.sha256) && !young(one))
  await db.change(["entry", "photo"], (tx) => {
    for (const { id } of over) tx.objectStore("entry").delete(id)
    for (const one of left) tx.objectStore("photo").delete(one.sha256)
  })
}

/** Call back whenever something changed here, in this tab or another one. */
export function listen(callback) {
  addEventListener("walkaround:entries", callback)
  if (!globalThis.BroadcastChannel) return
  new BroadcastChannel("walkaround").addEventListener("message", callback)
}

function tell() {
  dispatchEvent(new Event("walkaround:entries"))
  if (!globalThis.BroadcastChannel) return
  const channel = new BroadcastChannel("walkaround")
  channel.postMessage("entries")
  channel.close()
}

function update(store, key, changed) {
  return db.change([store], (tx) => {
    const before = tx.objectStore(store).get(key)
    before.onsuccess = () => before.result && tx.objectStore(store).put(changed(before.result))
  })
}
