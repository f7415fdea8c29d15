/** How much room this browser has for what the phone keeps. */
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
