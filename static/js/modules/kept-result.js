/** What was kept just now, what may be said of the unit by it, and whether the office has it. */
import { entry } from "../entries.js"
import { showStanding } from "../plate.js"
import { sendNow } from "../send.js"
import { standingOf } from "../standing.js"
import { filled, put } from "../template.js"
import { moment } from "../times.js"

export async function start(element) {
  const id = new URLSearchParams(location.search).get("entry")
  const show = async () => {
    const record = await entry(id)
    if (record) await showRecord(element, record)
    else location.replace("/waiting")
  }
  await show()
  for (const name of ["walkaround:entries", "walkaround:heard"]) addEventListener(name, show)
  await sendNow()
}

async function showRecord(element, record) {
  const { unit } = record.entry
  const standing = await standingOf(unit)
  const part = (name) => element.querySelector(`[data-part='${name}']`)
  part("unit").href = `/units/${encodeURIComponent(unit)}`
  part("state").replaceChildren(...state(element, record))
  document.querySelector("[data-part='number']").textContent = unit
  if (!standing) return
  const { known, found } = standing
  document.querySelector("[data-part='title']").textContent = found.title
  showStanding(element, standing)
  part("kept").textContent = put(part("kept").dataset.words, { when: moment(record.kept_at, known) })
  part("said").textContent = put(part("said").dataset.words, { when: moment(known.at, known) })
  part("said").hidden = record.state === "sent"
}

export function state(element, { id, state, by, sealed, why }) {
  const name = state === "unconfirmed" && sealed ? "sealed" : state
  const made = filled(element.querySelector(`template[data-state='${name}']`), { number: by, id })
  if (state !== "refused" || !why) return [made]
  return [made, Object.assign(document.createElement("p"), { textContent: why })]
}
