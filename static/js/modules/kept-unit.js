/** One unit as the phone last heard of it, with what it recorded itself since. */
import { showAge, sinceOf } from "../heard-line.js"
import { list, showStanding } from "../plate.js"
import { linesOf, standingOf } from "../standing.js"

export async function start(element) {
  const number = new URLSearchParams(location.search).get("unit") ?? ""
  if (!(await show(element, number))) return location.replace("/kept/units")
  for (const name of ["walkaround:entries", "walkaround:heard"]) {
    addEventListener(name, () => show(element, number))
  }
}

async function show(element, number) {
  const standing = await standingOf(number)
  if (!standing) return false
  const { found, known, own, age } = standing
  const part = (name) => element.querySelector(`[data-part='${name}']`)
  document.querySelector("[data-part='number']").textContent = number
  document.querySelector("[data-part='title']").textContent = found.title
  showAge(element, { at: known.at, age, known, there: `/units/${encodeURIComponent(number)}` })
  showStanding(element, standing)
  part("unheard").hidden = own.length === 0
  const lines = linesOf(found, own)
  list(element, "defects", "lines", lines.map((line) => rowOf(line, sinceOf(line, element, known))))
  lead(element, { ...found, lines })
  return true
}

const rowOf = ({ title, found, until_words }, since) => ({
  title,
  sub: [found.join("; "), since, until_words].filter(Boolean).join(" · "),
})

/** Lead to the pages that this phone keeps: they answer at once, whatever the line is like. */
function lead(element, { number, lists, lines }) {
  const query = `?unit=${encodeURIComponent(number)}`
  const page = (kind, { name, version }) => `/kept/${kind}/${name}/${version}${query}`
  const start = lists.start_of_shift
  const set = (name, address) => {
    const link = element.querySelector(`[data-part='${name}']`)
    link.href = address ?? ""
    link.hidden = !address
  }
  set("walk", start && page("walkarounds", start))
  set("report", start && page("reports", start))
  set("hours", `/kept/hours${query}`)
  set("fill", `/kept/fill${query}`)
  for (const link of element.querySelectorAll("[data-part='occasion']")) {
    const found = lists[link.dataset.occasion]
    link.hidden = !found
    if (found) link.href = page("walkarounds", found)
  }
  for (const [place, row] of [...element.querySelectorAll("[data-part='lines'] > li")].entries()) {
    const title = row.querySelector(".row__title")
    const link = document.createElement("a")
    link.className = "row__link"
    link.href = `/kept/clear${query}&defect=${lines[place].defects[0]}`
    link.textContent = title.textContent
    title.replaceChildren(link)
  }
}
