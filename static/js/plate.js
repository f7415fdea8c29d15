/** Shows what may be said of a unit, out of the plates that the page brings along. */
import { clone, filled } from "./template.js"
import { moment } from "./times.js"

/** Fill `root` with a standing: plate, reasons, restrictions. */
export function showStanding(root, { verdict, found, known }) {
  const { state, said = "", until, reasons } = verdict
  const plates = [...root.querySelectorAll(`template[data-plate='${state}']`)]
  const template = plates.find(({ dataset }) => dataset.said === said) ?? plates.find(({ dataset }) => !dataset.said)
  const words = { when: until ? moment(until, known) : "" }
  const more = state === "tagged_out" ? "caution" : state.startsWith("ok") ? "recorded" : ""
  const extra = more ? [filled(root.querySelector(`template[data-plate='${more}']`), {})] : []
  root.querySelector("[data-part='plate']").replaceChildren(filled(template, words), ...extra)
  list(root, "why", "reasons", reasons.map(({ text, code }) => ({ title: text ?? code, sub: "" })))
  if (root.querySelector("[data-part='limits']")) limits(root, found)
}

/** Fill a list of rows and show its section where there are any. */
export function list(root, section, place, rows) {
  root.querySelector(`[data-part='${section}']`).hidden = rows.length === 0
  root.querySelector(`[data-part='${place}']`).replaceChildren(...rows.map((row) => clone(root, "row", row)))
}

function limits(root, { restrictions }) {
  root.querySelector("[data-part='limits']").hidden = restrictions.length === 0
  const made = restrictions.map((words) => {
    const line = document.createElement("p")
    line.className = "large"
    line.append(Object.assign(document.createElement("strong"), { textContent: words }))
    return line
  })
  root.querySelector("[data-part='restrictions']").replaceChildren(...made)
}
