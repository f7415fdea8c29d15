/** Walks that are begun and not handed in. */
import * as db from "./db.js"
import { withRoom } from "./room.js"

export const draftName = (unit, by, checklist) => `walk:${unit}:${by}:${checklist}`

/** Whether a walk can be kept here; over plain HTTP a browser lends nobody what names things. */
export const canKeep = () => db.isThere() && Boolean(globalThis.crypto?.subtle)

export const drafts = () => (db.isThere() ? db.all("draft") : [])

export const draft = (name) => db.get("draft", name)

export const keepDraft = (record) => withRoom(() => db.put("draft", record))

export const removeDraft = (name) => db.remove("draft", name)

/** Under what a window notes the draft of a walk whose form went by itself. */
export const wentAsForm = (entry) => `went-as-form:${entry}`

/** Where a draft goes on: the page that phones keep of that very version of its list. */
export function pageOf({ checklist, version, unit }) {
  return `/kept/walkarounds/${checklist}/${version}?unit=${encodeURIComponent(unit)}`
}

/** The walk that is begun on a unit by a list, whoever began it here; of several the oldest shift's. */
export async function draftOf(unit, checklist) {
  const found = (await drafts()).filter((one) => one.unit === unit && one.checklist === checklist)
  return found.sort((a, b) => a.ends_at - b.ends_at)[0]
}
