/** What is sent next, in which form, and what a reply means. */

const LARGEST = 1_000_000 // letters in one request

/** What goes next: first what tags a unit out, then in the order in which it was made. */
export function inOrder(records, { person, size, failed }) {
  const due = records.filter((record) => isDue(record, person) && !failed.has(record.id))
  due.sort((a, b) => Number(b.stops) - Number(a.stops) || a.n - b.n)
  let letters = 0
  return due.slice(0, size).filter((record, place) => {
    letters += JSON.stringify(record.entry).length
    return place === 0 || letters <= LARGEST
  })
}

// What could not be proved goes once more under its maker's own sign-in: that confirms it.
function isDue(record, person) {
  if (record.state === "unconfirmed") return record.by === person && record.sent_by !== person
  return record.state === "waiting"
}

/** An entry as it is sent while `person` is signed in: whose it is never depends on that. */
export function wire({ entry, by, sealed }, person) {
  if (by === person) return entry
  return { ...entry, signer: { crew_number: by, ...(sealed ? { sealed_pin: sealed } : {}) } }
}

export const isTaken = ({ result }) => result === "accepted" || result === "known"

/** What a reply without results means: nothing is lost by it, whatever it is. */
export function outcome({ status, json, retryAfter }) {
  const stale = status === 400 && json?.type === "csrf"
  if (status === 401 || stale) return { state: "sign in" }
  return { state: "later", retryAfter, why: bodiless(status) }
}

/** Whether something in what was sent may be to blame, so that less of it could get through. */
export function isFault({ status, json, retryAfter }) {
  if (retryAfter || json?.type === "csrf") return false
  return status >= 500 || [400, 409, 413, 422].includes(status)
}

export const bodiless = (status) => `status ${status}`
