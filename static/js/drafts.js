/** Walks that are begun and not handed in. */
import * as db from "./db.js"
import { withRoom } from "./room.js"

export const draftName = (unit, by, checklist) => `walk:${unit}:${by}:${checklist}`

export const drafts = () => (db.isThere() ? db.all("draft") : [])

export const draft = (name) => db.get("draft", name)

export const keepDraft = (record) => withRoom(() => db.put("draft", record))

export const removeDraft = (name) => db.remove("draft", name)

/** Where a draft goes on: the page that phones keep of that very version of its list. */
export function pageOf({ checklist, version, unit }) {
  return `/kept/walkarounds/${checklist}/${version}?unit=${encodeURIComponent(unit)}`
}

/** The walk that is begun on a unit by a list, whoever began it on this phone. */
export async function draftOf(unit, checklist) {
  return (await drafts()).find((one) => one.unit === unit && one.checklist === checklist)
}
