/** On every page: how much waits, sending it, hearing how the site stands, taking a new version. */
import * as db from "../db.js"
import { drafts, pageOf } from "../drafts.js"
import { entries, listen, tidy } from "../entries.js"
import { hear, keepPages, site } from "../heard.js"
import { holdBack } from "../room.js"
import { sendOften } from "../send.js"
import { showStops } from "../stopping.js"
import { watch } from "../update.js"

const OFTEN = 60_000 // milliseconds

export async function start(element) {
  notice()
  watch(element)
  if (!db.isThere()) return
  const tell = async () => {
    count(element, (await entries()).filter(isLeft).length)
    await showStops(element)
  }
  listen(tell)
  await tell()
  await sendOften()
  const often = () => document.hidden || !element.dataset.hears || keepFresh().catch(() => undefined)
  addEventListener("walkaround:told", ({ detail }) => detail === "done" && often())
  addEventListener("online", often)
  document.addEventListener("visibilitychange", often)
  navigator.serviceWorker?.addEventListener("controllerchange", often)
  setInterval(often, OFTEN)
  await often()
  await tidy()
  await holdBack()
}

const isLeft = ({ state }) => state === "waiting" || state === "refused"

function count(element, number) {
  const words = number === 1 ? element.dataset.one : element.dataset.many.replace("{n}", number)
  const link = element.querySelector("[href='/waiting']") ?? element.appendChild(waiting())
  link.textContent = words
  link.hidden = number === 0
  element.hidden = [...element.children].every((child) => child.hidden)
  const badge = number ? navigator.setAppBadge?.(number) : navigator.clearAppBadge?.()
  badge?.catch(() => undefined) // some browsers want a permission for it
}

function waiting() {
  const link = document.createElement("a")
  link.href = "/waiting"
  return link
}

/** Hear how everything stands, and keep the pages for it; one window of this phone does. */
function keepFresh() {
  const work = async () => {
    if (!(await hear())) return
    dispatchEvent(new Event("walkaround:heard"))
    if (!navigator.serviceWorker?.controller) return
    const used = (await drafts()).map((draft) => pageOf(draft).split("?")[0])
    await keepPages(await site(), document.documentElement.dataset.release, used)
  }
  if (!navigator.locks) return work()
  return navigator.locks.request("walkaround-hear", { ifAvailable: true }, (lock) => lock && work())
}

/** Say once what became of the form before this page. */
function notice() {
  const words = sessionStorage.getItem("notice")
  sessionStorage.removeItem("notice")
  if (!words) return
  const line = Object.assign(document.createElement("p"), { className: "notice", textContent: words })
  document.querySelector(".notices")?.append(line)
}
