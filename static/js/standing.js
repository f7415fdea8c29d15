/** How a unit stands as far as this phone can say, strictly. */
import { ageOf } from "./age.js"
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
  const verdict = strict({ unit: found, own, now, fresh, signedIn: known.signed_in })
  return { known, found, own, verdict, age }
}

// What the office may have taken in after it was last heard still counts here.
function counts({ entry, state, sent_at }, number, heardAt) {
  return entry.unit === number && (state !== "sent" || sent_at > heardAt)
}
