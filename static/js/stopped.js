/** What stopped a unit that a walk of this phone had not: since when, and by whom. */
import { site } from "./heard.js"
import { ask } from "./http.js"
import { uuid5 } from "./ids.js"
import { put } from "./template.js"
import { moment } from "./times.js"

const STOPPING = new Set(["laid_up", "defect", "hold"])

/** The oldest such entry that the walk did not know, {at, by}; asked of the office for who is signed in. */
export async function stoppedBy({ entry: { unit, seen }, verdict }) {
  const { json } = await ask(`/api/v1/units/${encodeURIComponent(unit)}/logbook?after=${seen?.seq ?? 0}`)
  const why = verdict.reasons.filter(({ code }) => STOPPING.has(code))
  const found = []
  for (const entry of json?.entries ?? []) if (await isOne(entry, why)) found.push(entry)
  const [oldest] = found.map(({ made_at, by }) => ({ at: Date.parse(made_at), by })).sort((a, b) => a.at - b.at)
  return oldest
}

async function isOne({ id }, why) {
  const named = new Set(why.flatMap(({ hold, lay_up, defects = [] }) => [hold, lay_up, ...defects]))
  const items = why.flatMap(({ item }) => item ?? [])
  const ids = [id, ...(await Promise.all(items.map((item) => uuid5(id, item))))]
  return ids.some((one) => named.has(one))
}

/** The same in words, on the site's clock. */
export async function sinceOf({ at, by }, words) {
  return put(words, { when: moment(at, await site()), number: by })
}
