/** How old what was heard is, by clocks that somebody may have set back. */
import * as db from "./db.js"

const SLACK = 120_000 // milliseconds: so much a clock may be put right without a word
const began = { wall: Date.now(), ticks: performance.now() }

/** Milliseconds since `at`; without end where a clock has gone back, for then nobody knows. */
export function age(at, { now, latest, passed, began }) {
  const backward = now < latest - SLACK || now - began < passed - SLACK
  return backward ? Infinity : now - at
}

/** Note the latest time that this phone's clock has ever shown, and return the age of `at`. */
export async function ageOf(at) {
  const now = Date.now()
  const latest = (await db.get("phone", "latest"))?.value ?? 0
  // On a full phone the write fails, and what is kept must be readable all the same.
  if (now > latest) await db.put("phone", { key: "latest", value: now }).catch(() => undefined)
  return age(at, { now, latest, passed: performance.now() - began.ticks, began: began.wall })
}
