/** Sends what waits: now, and again after a pause that grows while the server does not answer. */
import * as entries from "./entries.js"
import * as http from "./http.js"
import { alone, makeOutbox, pause } from "./outbox.js"
import { asksAgain } from "./sending.js"

const leaves = (ids) => dispatchEvent(new CustomEvent("walkaround:sending", { detail: ids }))
const outbox = makeOutbox({ store: entries, net: http, alone, leaves })
let tries = 0
let timer // of the next try
let isAsked = false // the server itself wants to be left alone so long

/** Send all that waits and say how it went: "done", "later", "sign in" or "elsewhere". */
export async function sendNow({ insists = false } = {}) {
  return timer && isAsked && !insists ? "later" : send(insists)
}

async function send(insists) {
  rest()
  const told = await outbox.flush(insists)
  dispatchEvent(new CustomEvent("walkaround:told", { detail: told.state }))
  if (told.state === "done") tries = 0
  else if (told.state === "later") rest(pause(tries++, told), told.retryAfter > 0)
  return told.state
}

function rest(milliseconds, asked = false) {
  clearTimeout(timer)
  timer = milliseconds === undefined ? undefined : setTimeout(send, milliseconds)
  isAsked = asked
}

/** Send whenever there may be a signal again; what a browser says of its line proves nothing. */
export function sendOften() {
  const look = async () => document.hidden || ((await isAnythingDue()) && sendNow())
  addEventListener("online", look)
  document.addEventListener("visibilitychange", look)
  navigator.serviceWorker?.addEventListener("message", ({ data }) => data === "send" && look())
  setInterval(() => timer || look(), 60_000) // nothing has changed: the pause goes on
  return look()
}

/** Let the browser wake this phone where it can; nothing depends on it. */
export async function sendInBackground() {
  const worker = await navigator.serviceWorker?.ready
  await worker?.sync?.register("walkaround").catch(() => undefined)
}

async function isAnythingDue() {
  const all = await entries.entries()
  const isDue = (one) => one.state === "waiting" || (one.state === "unconfirmed" && !one.sealed)
  if (all.some((one) => isDue(one) || asksAgain(one))) return true
  const photos = await Promise.all(all.flatMap(({ photos }) => photos).map(entries.photo))
  return photos.some((one) => one?.state === "waiting")
}
