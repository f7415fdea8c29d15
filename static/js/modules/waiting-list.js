/** Everything on this phone that the office has not got yet, or has refused. */
import { drafts, pageOf } from "../drafts.js"
import { entries, listen, photo } from "../entries.js"
import { handOver } from "../hand-over.js"
import { site } from "../heard.js"
import { sendNow } from "../send.js"
import { clone, put } from "../template.js"
import { moment } from "../times.js"
import { state } from "./kept-result.js"

const LATELY = 24 * 3600_000 // milliseconds for which what was sent is still listed

export async function start(element) {
  const part = (name) => element.querySelector(`[data-part='${name}']`)
  const known = (await site()) ?? { zone: undefined, language: document.documentElement.lang }
  document.querySelector("[data-part='number']").textContent = known.site ?? "Walkaround"
  let leaving = [] // the ids of what is on its way just now
  const show = async () => showAll(element, part, known, leaving)
  const leave = (ids) => {
    leaving = ids
    return show()
  }
  listen(show)
  addEventListener("walkaround:sending", ({ detail }) => leave(detail))
  addEventListener("walkaround:told", ({ detail }) => leave([]).then(() => say(part, detail)))
  part("send").addEventListener("click", () => sendNow({ insists: true }))
  part("save").addEventListener("click", handOver)
  await show()
}

async function showAll(element, part, known, leaving) {
  const now = (record) => (record.state === "waiting" && leaving.includes(record.id) ? "sending" : record.state)
  const all = (await entries()).sort((a, b) => b.n - a.n).map((record) => ({ ...record, state: now(record) }))
  const left = all.filter((record) => record.state !== "sent")
  const lately = all.filter((record) => record.state === "sent" && Date.now() - record.sent_at < LATELY)
  const isDone = (await photosLeft(part, all)) + left.length === 0
  part("none").hidden = !isDone
  part("some").hidden = left.length === 0
  for (const name of ["send", "file"]) part(name).hidden = isDone
  part("entries").replaceChildren(...[...left, ...lately].map((record) => row(element, record, known)))
  await begun(element, part, known)
}

function row(element, record, known) {
  const { kind, unit } = record.entry
  const title = element.querySelector(`[data-kind='${kind}']`)?.textContent ?? kind
  const words = [moment(record.kept_at, known), ...(record.found ?? []).map(({ text }) => text)]
  const made = clone(element, "row", { number: unit, title, sub: words.join(" · ") })
  made.querySelector("[data-part='more']").append(...state(element, record))
  return made
}

async function photosLeft(part, all) {
  const names = [...new Set(all.flatMap((record) => record.photos))]
  const found = (await Promise.all(names.map(photo))).filter((one) => one && one.state !== "sent")
  const refused = found.filter(({ state }) => state === "refused").length
  tell(part("photos"), found.length - refused)
  tell(part("photos-refused"), refused)
  return found.length
}

function tell(place, n) {
  place.hidden = n === 0
  place.textContent = n === 1 ? place.dataset.one : put(place.dataset.words, { n })
}

async function begun(element, part, known) {
  const found = await drafts()
  part("drafts").hidden = found.length === 0
  part("begun").replaceChildren(...found.map((one) => {
    const words = { number: one.unit, title: one.title, sub: moment(one.started_at, known) }
    const made = clone(element, "row", words)
    made.querySelector(".row__number").replaceChildren(linkTo(one))
    return made
  }))
}

function say(part, told) {
  const words = { "sign in": part("said").dataset.signIn, later: part("said").dataset.later }[told]
  part("said").textContent = words ?? ""
  part("said").hidden = !words
  part("sign-in").hidden = told !== "sign in"
}

function linkTo(draft) {
  const link = document.createElement("a")
  link.className = "row__link"
  link.href = pageOf(draft)
  link.textContent = draft.unit
  return link
}
