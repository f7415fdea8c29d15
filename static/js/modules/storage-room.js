/** Says what this browser promises to keep, and how full it is. */
import { isStrict, isThere, put } from "../db.js"
import { entries } from "../entries.js"
import { isFilling, room } from "../room.js"

const MB = 1_000_000
const LITTLE = 200 * MB // ordinary windows get more; from memory, private ones had about 100 MB

export async function start(element) {
  const show = (name, holds) => (element.querySelector(`[data-part='${name}']`).hidden = !holds)
  show("no-worker", !navigator.serviceWorker)
  const takes = isThere() && (await takesWrites())
  const found = await room()
  show("private", seemsPrivate(takes, found))
  if (!takes) return
  const persisted = await navigator.storage?.persisted?.()
  show("kept", persisted === true)
  show("loose", persisted === false)
  show("lazy", !(await isStrict()))
  show("full", await isFilling())
  show("week", clearsWeekly(navigator, matchMedia("(display-mode: standalone)").matches) && (await isAnyWaiting()))
  show("room", Boolean(found))
  if (found) tell(element.querySelector("[data-part='room']"), found)
}

/** A window that forgets takes no write, or gives little room; it does not say so itself. */
export const seemsPrivate = (takes, found) => !takes || (found?.room ?? Infinity) < LITTLE

// A full phone takes writes no longer, but has kept what it took.
const takesWrites = () => put("phone", { key: "probe" }).then(() => true, ({ name }) => name === "QuotaExceededError")

function tell(place, { used, room }) {
  const words = { used: Math.ceil(used / MB), room: Math.round(room / MB) }
  place.textContent = place.dataset.words.replace(/\{(\w+)\}/g, (_, name) => words[name])
}

/** One browser clears what was not visited for a week, but not from the home screen. */
export function clearsWeekly({ userAgent, standalone }, isInstalled) {
  const isSafari = /Safari\//.test(userAgent) && !/Chrom|Android|Firefox|FxiOS|CriOS/.test(userAgent)
  return isSafari && !isInstalled && !standalone
}

const isAnyWaiting = async () => (await entries()).some(({ state }) => state !== "sent")
