/** A walk that looked good here, and a unit that the office says may not run: nobody must miss that. */
import { change, entries } from "./entries.js"
import { put } from "./template.js"

const STOPS = new Set(["tagged_out", "laid_up"])

/** Say whether the office has stopped what this phone's own walk had not, and nobody has read it. */
export function isCrossed({ entry, state, shown, verdict, told_at }) {
  return entry.kind === "walkaround" && state !== "waiting" && !told_at && STOPS.has(verdict?.state) && !STOPS.has(shown)
}

/** Show each of them until somebody says that they have read it; that is kept with the entry. */
export async function showStops({ dataset }) {
  for (const record of (await entries()).filter(isCrossed)) {
    if (document.querySelector(`[data-stop="${record.id}"]`)) continue
    const why = record.verdict.reasons.map(({ text }) => text).join("; ")
    const made = notice(put(dataset.stop, { unit: record.entry.unit, why }), dataset.read, record.id)
    document.querySelector("main").prepend(made)
    await change(record.id, { stop_shown_at: record.stop_shown_at ?? Date.now() })
  }
}

function notice(words, read, id) {
  const made = document.createElement("div")
  Object.assign(made, { className: "notice notice--strong", role: "alert" })
  made.dataset.stop = id
  const [line, button] = [document.createElement("p"), document.createElement("button")]
  line.className = "large"
  line.textContent = words
  Object.assign(button, { className: "button", type: "button", textContent: read })
  button.addEventListener("click", async () => {
    made.remove()
    await change(id, { told_at: Date.now() })
  })
  made.append(line, button)
  return made
}
