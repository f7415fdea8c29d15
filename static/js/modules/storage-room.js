/** Says what this browser promises to keep, and how full it is. */
import { isStrict, isThere } from "../db.js"
import { entries } from "../entries.js"
import { isFilling, room } from "../room.js"

const MB = 1_000_000

export async function start(element) {
  const show = (name, holds) => (element.querySelector(`[data-part='${name}']`).hidden = !holds)
  show("no-worker", !navigator.serviceWorker)
  if (!isThere()) return
  const persisted = await navigator.storage?.persisted?.()
  show("kept", persisted === true)
  show("loose", persisted === false)
  show("lazy", !(await isStrict()))
  show("full", await isFilling())
  show("week", clearsWeekly(navigator, matchMedia("(display-mode: standalone)").matches) && (await isAnyWaiting()))
  const found = await room()
  show("room", Boolean(found))
  if (found) tell(element.querySelector("[data-part='room']"), found)
}

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
