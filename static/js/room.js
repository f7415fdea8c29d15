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

/** Hold some room back while there is some, so that a full phone still takes words. */
export async function holdBack() {
  if (await db.get("phone", "reserve")) return
  const value = new ArrayBuffer(RESERVE)
  await db.put("phone", { key: "reserve", value }).catch(() => undefined)
}

/** Write words; where there is no room for them, make some, and write again. */
export async function withRoom(write) {
  try {
    return await write()
  } catch (error) {
    if (error.name !== "QuotaExceededError") throw error
    await makeRoom()
    return write()
  }
}

/** Give up what was held back, photos that the office has, and pages of releases before. */
async function makeRoom() {
  const photos = (await db.all("photo")).filter(({ state }) => state === "sent")
  await db.change(["phone", "photo"], (tx) => {
    tx.objectStore("phone").delete("reserve")
    for (const { sha256 } of photos) tx.objectStore("photo").delete(sha256)
  })
  const releases = (await globalThis.caches?.keys()) ?? []
  const old = releases.filter((name) => name.startsWith("walkaround-")).slice(0, -1)
  await Promise.all(old.map((name) => caches.delete(name)))
}
