/** Fills a form that fits any unit with the one of its address, and starts it. */
import { ageOf } from "../age.js"
import { showAge, sinceOf } from "../heard-line.js"
import { site, unit } from "../heard.js"
import { offerSigner } from "../signer.js"
import { linesOf, standingOf } from "../standing.js"
import { start as begin } from "./entry-form.js"

export async function start(form) {
  const query = new URLSearchParams(location.search)
  const [known, found] = await Promise.all([site(), unit(query.get("unit") ?? "")])
  if (!known || !found) return location.replace("/kept/units")
  const there = `/units/${encodeURIComponent(found.number)}`
  form.dataset.unit = found.number
  document.querySelector("[data-part='number']").textContent = found.number
  document.querySelector("[data-part='title']").textContent = found.title
  showAge(form.parentElement, { at: known.at, age: await ageOf(known.at), known, there })
  offerSigner(form, known)
  if (form.dataset.kind === "clear") await showLine(form, query.get("defect"))
  if (form.dataset.kind === "defect") showPlace(form)
  begin(form)
  form.hidden = false // not before a tap on its button can be taken
}

/** The whole line that a defect stands in: one signature ends what the mechanic has seen of it. */
async function showLine(form, defect) {
  const { found, own, known } = await standingOf(form.dataset.unit)
  const line = linesOf(found, own).find(({ defects }) => defects.includes(defect))
  if (!line) return location.replace(`/kept/unit?unit=${encodeURIComponent(form.dataset.unit)}`)
  form.querySelector("[data-part='what']").textContent = line.title
  const words = form.querySelector("[data-part='found']")
  words.textContent = [...line.found, sinceOf(line, words, known)].join("; ")
  for (const id of line.defects) {
    form.append(Object.assign(document.createElement("input"), { type: "hidden", name: "defect", value: id }))
  }
}

function showPlace(form) {
  const choice = form.elements.namedItem("item") // `item` alone is a method of theirs
  const show = () => {
    for (const group of form.querySelectorAll("[data-findings]")) {
      group.hidden = group.dataset.findings !== choice.value
      for (const field of group.querySelectorAll("input")) field.disabled = group.hidden
    }
    const critical = choice.selectedOptions[0]?.hasAttribute("data-critical")
    form.querySelector("[data-part='critical']").hidden = critical
  }
  choice.addEventListener("change", show)
  show()
}
