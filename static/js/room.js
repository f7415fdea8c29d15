/** How much room this browser has for what the phone keeps, and room held back for words. */
import * as db from "./db.js"

const FULL = 0.8 // of the quota

/** Return {used, room} in bytes; nothing where the browser does not tell. */
export async function room(storage = globalThis.navigator?.storage) {
  const { usage, quota } = (await storage?.estimate?.()) ?? {}
  return quota ? { used: usage, room: quota } : undefined
}

export async function isFilling(storage) {
  const found = await room(storage)
  return Boolean(found) && found.used > FULL * found.room
}

const RESERVE = 1_000_000 // bytes: some hundred walks
const MOST = 65_536 // bytes that a browser makes at once

/** Hold some room back while there is some, so that a full phone still takes words; say if it is. */
export async function holdBack() {
  if (await db.has("phone", "reserve")) return true
  return db.put("phone", { key: "reserve", value: noise(RESERVE) }).then(() => true, () => false)
}

// Noise, for a browser makes anything else smaller on its disk, and then nothing is held back.
function noise(size) {
  const bytes = new Uint8Array(size)
  for (let at = 0; at < size; at += MOST) crypto.getRandomValues(bytes.subarray(at, at + MOST))
  return bytes.buffer
}

/**
 * Write words; where there is no room for them, make some, and write again: at once, and after each
 * of `pauses` (milliseconds), for a browser may need a while to see what became free.
 */
export async function withRoom(write, pauses = []) {
  try {
    return await write()
  } catch (error) {
    if (error.name !== "QuotaExceededError") throw error
    await makeRoom()
  }
  for (const pause of pauses) {
    const done = await write().then((value) => ({ value }), whenFull)
    if (done) return done.value
    await new Promise((resolve) => setTimeout(resolve, pause))
  }
  return write()
}

function whenFull(error) {
  if (error.name !== "QuotaExceededError") throw error
}

/** Give up what was held back, photos that the office has, and pages of releases before. */
async function makeRoom() {
  const photos = (await db.all("photo")).filter(({ state }) => state === "sent")
  await db.change(["phone", "photo"], (tx) => {
    tx.objectStore("phone").delete("reserve")
    for (const { sha256 } of photos) tx.objectStore("photo").delete(sha256)
  })
  const old = await releasesBefore().catch(() => []) // the words do not depend on that
  await Promise.all(old.map((name) => caches.delete(name)))
}

// While another one waits, the one in charge may be older than this page, and is needed.
async function releasesBefore() {
  const worker = await globalThis.navigator?.serviceWorker?.getRegistration()
  if (worker?.waiting || worker?.installing || !globalThis.caches) return []
  const ours = (await caches.keys()).filter((name) => name.startsWith("walkaround-"))
  const own = ours.indexOf(`walkaround-${document.documentElement.dataset.release}`)
  return ours.slice(0, Math.max(0, own))
}
