/** A walk that looked good here, and a unit that the office says may not run: nobody must miss that. */
import { change, entries } from "./entries.js"
import { put } from "./template.js"

const STOPS = new Set(["tagged_out", "laid_up"])

/** Say whether the office has stopped what this phone's own walk had not, and nobody has read it. */
export function isCrossed({ entry, state, stops, shown, verdict, told_at }) {
  const isTold = state === "waiting" || told_at
  return entry.kind === "walkaround" && !isTold && !stops && STOPS.has(verdict?.state) && !STOPS.has(shown)
}

/** Show each of them until somebody says that they have read it; that is kept with the entry. */
export async function showStops({ dataset }) {
  for (const record of (await entries()).filter(isCrossed)) {
    if (document.querySelector(`[data-stop="${record.id}"]`)) continue
    const why = record.verdict.reasons.map(({ text }) => text).join("; ")
    const made = notice(put(dataset.stop, { unit: record.entry.unit, why }), dataset.read, record.id)
    document.querySelector("main").prepend(made)
    await change(record.id, { stop_shown_at: record.stop_shown_at ?? Date.now() })
    sayWhen(made.querySelector("p"), record, dataset.since).catch(() => undefined) // it stops without that, too
  }
}

/** Add since when and by whom: asked once, as the office may be away the next time. */
async function sayWhen(line, record, words) {
  const { sinceOf, stoppedBy } = await import("./stopped.js") // rare, so no page waits for it
  const stopped = record.stopped ?? (await stoppedBy(record))
  if (!stopped) return
  line.append(` ${await sinceOf(stopped, words)}`)
  if (!record.stopped) await change(record.id, { stopped })
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
    await change(id, { told_at: Date.now() }).catch(() => undefined) // a full phone shows it again
    made.hidden = true // and not gone: a look at the entries that began before must not bring it back
  })
  made.append(line, button)
  return made
}
