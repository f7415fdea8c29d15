/** All units as the phone last heard of them; the one whose number was typed opens. */
import { ageOf } from "../age.js"
import { showAge } from "../heard-line.js"
import { site, unitLike, units } from "../heard.js"
import { filled, put } from "../template.js"
import { standingOf } from "../standing.js"

export async function start(element) {
  const known = await site()
  if (!known) return location.replace("/kept/way")
  document.querySelector("[data-part='number']").textContent = known.site
  showAge(element, { at: known.at, age: await ageOf(known.at), known, there: "/units" })
  const form = element.querySelector("form")
  form.addEventListener("submit", (event) => {
    event.preventDefault()
    open(element, form.elements.number.value)
  })
  const typed = new URLSearchParams(location.search).get("number")
  if (typed) await open(element, typed)
  const standings = await Promise.all((await units()).map(({ number }) => standingOf(number)))
  element.querySelector("[data-part='units']").replaceChildren(...standings.map((one) => row(element, one)))
}

function row(element, { found: { number, title }, verdict: { state } }) {
  const href = `/kept/unit?unit=${encodeURIComponent(number)}`
  return filled(element.querySelector(`template[data-state='${state}']`), { number, title, href })
}

async function open(element, typed) {
  const found = await unitLike(typed)
  if (found) return location.assign(`/kept/unit?unit=${encodeURIComponent(found.number)}`)
  const words = element.querySelector("[data-part='unknown']")
  words.textContent = put(element.dataset.unknown, { number: typed })
  words.hidden = false
}
