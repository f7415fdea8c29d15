/** What is sent next, in which form, and what a reply means. */

const LARGEST = 1_000_000 // letters in one request
const ASK = 3600_000 // milliseconds between two questions about one entry

/** What goes next: first what tags a unit out, then in the order in which it was made. */
export function inOrder(records, { person, size, failed, now = Date.now() }) {
  const due = records.filter((record) => isDue(record, person, now) && !failed.has(record.id))
  due.sort((a, b) => Number(b.stops) - Number(a.stops) || a.n - b.n)
  let letters = 0
  return due.slice(0, size).filter((record, place) => {
    letters += JSON.stringify(record.entry).length
    return place === 0 || letters <= LARGEST
  })
}

// What was made under its maker's own sign-in goes once more under it: that confirms it. Anybody may
// have typed a wrong PIN, so what was sealed waits for its maker's own word at the office; now and
// then the phone asks whether that was said.
function isDue(record, person, now) {
  if (record.state !== "unconfirmed") return record.state === "waiting"
  if (record.sealed) return asksAgain(record, now)
  return record.by === person && record.sent_by !== person
}

/** Whether it is time to ask again what became of an entry whose PIN was wrong. */
export const asksAgain = ({ state, sealed, sent_at }, now = Date.now()) =>
  state === "unconfirmed" && Boolean(sealed) && Math.abs(now - sent_at) >= ASK

/** An entry as it is sent while `person` is signed in: neither whose it is nor a PIN depends on that. */
export function wire({ entry, by, sealed, state }, person) {
  if (state === "unconfirmed" && sealed) return { ...entry, signer: { crew_number: by } } // to ask
  if (sealed) return { ...entry, signer: { crew_number: by, sealed_pin: sealed } }
  return by === person ? entry : { ...entry, signer: { crew_number: by } }
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
