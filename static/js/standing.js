/** How a unit stands as far as this phone can say, strictly. */
import { ageOf } from "./age.js"
import { officeTime } from "./clock.js"
import { entries } from "./entries.js"
import { site, unit } from "./heard.js"
import { strict } from "./strict.js"

/** Return {known, found, own, verdict, age}; nothing where the phone knows no such unit. */
export async function standingOf(number, now = Date.now()) {
  const [known, found, all] = await Promise.all([site(), unit(number), entries()])
  if (!known || !found) return undefined
  const age = await ageOf(known.at)
  const own = all.filter((record) => counts(record, number, known.at)).sort((a, b) => a.n - b.n)
  const fresh = age < known.limit
  const { signed_in: signedIn, ahead } = known
  const verdict = strict({ unit: found, own, now: officeTime(known, now), fresh, signedIn, ahead })
  return { known, found, own, verdict, age }
}

// What the office may have taken in after it was last heard still counts here.
function counts({ entry, state, sent_at }, number, heardAt) {
  return entry.unit === number && (state !== "sent" || sent_at > heardAt)
}

/** What is open, in lines: those that were heard, with what was found here at the same item, then the rest. */
export function linesOf({ lines }, own) {
  const made = lines.map((line) => ({ ...line }))
  for (const { id, item, text, at } of own.flatMap(foundIn)) {
    const line = made.find(({ defects, ...one }) => defects.includes(id) || (item && one.item === item))
    if (!line) made.push({ item, title: text, found: [], defects: [id], at })
    else if (!line.defects.includes(id)) add(line, id, text)
  }
  return made
}

const foundIn = ({ found = [], kept_at: at }) => found.map((one) => ({ ...one, at }))

function add(line, id, text) {
  const words = text.replace(`${line.title}: `, "")
  const isNew = words !== line.title && !line.found.includes(words)
  Object.assign(line, { defects: [...line.defects, id], found: isNew ? [...line.found, words] : line.found })
}
