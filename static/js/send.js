/** Sends what waits: now, and again after a pause that grows while the server does not answer. */
import * as entries from "./entries.js"
import * as http from "./http.js"
import { alone, makeOutbox, pause } from "./outbox.js"

const outbox = makeOutbox({ store: entries, net: http, alone })
let tries = 0
let timer

/** Send all that waits and say how it went: "done", "later", "sign in" or "elsewhere". */
export async function sendNow() {
  clearTimeout(timer)
  const told = await outbox.flush()
  dispatchEvent(new CustomEvent("walkaround:told", { detail: told.state }))
  if (told.state === "done") tries = 0
  else if (told.state === "later") timer = setTimeout(sendNow, pause(tries++, told))
  return told.state
}

/** Send whenever there may be a signal again; what a browser says of its line proves nothing. */
export function sendOften() {
  const look = async () => document.hidden || ((await isAnythingDue()) && sendNow())
  addEventListener("online", look)
  document.addEventListener("visibilitychange", look)
  navigator.serviceWorker?.addEventListener("message", ({ data }) => data === "send" && look())
  setInterval(look, 60_000)
  return look()
}

/** Let the browser wake this phone where it can; nothing depends on it. */
export async function sendInBackground() {
  const worker = await navigator.serviceWorker?.ready
  await worker?.sync?.register("walkaround").catch(() => undefined)
}

async function isAnythingDue() {
  const all = await entries.entries()
  if (all.some(({ state }) => state === "waiting" || state === "unconfirmed")) return true
  const photos = await Promise.all(all.flatMap(({ photos }) => photos).map(entries.photo))
  return photos.some((one) => one?.state === "waiting")
}
