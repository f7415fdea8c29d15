/** On every page: how much waits, sending it, hearing how the site stands, taking a new version. */
import { tellOffice } from "../contact.js"
import * as db from "../db.js"
import { drafts, pageOf } from "../drafts.js"
import { entries, listen, tidy } from "../entries.js"
import { hear, keepPages, site } from "../heard.js"
import { holdBack, isFilling } from "../room.js"
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
  if (await isFilling()) warn(element)
  await sendOften()
  const often = () => document.hidden || keepFresh(element.dataset.hears)
  addEventListener("walkaround:told", ({ detail }) => detail === "done" && often())
  addEventListener("online", often)
  document.addEventListener("visibilitychange", often)
  navigator.serviceWorker?.addEventListener("controllerchange", () => Promise.resolve(running).then(often))
  setInterval(often, OFTEN)
  await often()
  await tidy()
  await holdBack()
}

const isLeft = ({ state }) => state === "waiting" || state === "refused"

function count(element, number) {
  const words = number === 1 ? element.dataset.one : element.dataset.many.replace("{n}", number)
  const link = element.querySelector("[href='/waiting']") ?? element.appendChild(linkTo("/waiting"))
  link.textContent = words
  link.hidden = number === 0
  element.hidden = [...element.children].every((child) => child.hidden)
  const badge = number ? navigator.setAppBadge?.(number) : navigator.clearAppBadge?.()
  badge?.catch(() => undefined) // some browsers want a permission for it
}

/** The room is used up on the way: what to do about it stands where what waits does. */
function warn(element) {
  element.append(Object.assign(linkTo("/waiting#room"), { textContent: element.dataset.full }))
  element.hidden = false
}

const linkTo = (href) => Object.assign(document.createElement("a"), { href })

let running // what keeps things fresh in this window just now

/** Do so once at a time, and after other windows: one that is going away may not get to its end. */
function keepFresh(hears) {
  const work = () => hearAndKeep(hears).catch(() => undefined)
  const alone = () => (navigator.locks ? navigator.locks.request("walkaround-hear", work) : work())
  running ??= alone().finally(() => (running = undefined))
  return running
}

/** Hear how everything stands, and keep the pages for it. */
async function hearAndKeep(hears) {
  const before = await site()
  const heard = hears && (await hear())
  if (heard && !before) navigator.storage?.persist?.() // there is something to be kept from now on
  await tellOffice((await site())?.device).catch(() => undefined) // pages are kept all the same
  if (!heard) return
  dispatchEvent(new Event("walkaround:heard"))
  if (!navigator.serviceWorker?.controller) return
  const used = (await drafts()).map((draft) => pageOf(draft).split("?")[0])
  await keepPages(await site(), document.documentElement.dataset.release, used)
}

/** Say once what became of the form before this page. */
function notice() {
  const words = sessionStorage.getItem("notice")
  sessionStorage.removeItem("notice")
  if (!words) return
  const line = Object.assign(document.createElement("p"), { className: "notice", textContent: words })
  document.querySelector(".notices")?.append(line)
}
