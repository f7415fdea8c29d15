/** Which stretch of time a finished walk covers, if everything that was due was checked. */

/** Return {start, end} in UTC milliseconds, or nothing where it covers nothing. */
export function covering({ occasion, validFor, shift, answers, startedAt, madeAt }) {
  const whole = answers.every(({ answer }) => answer !== "could_not_check")
  if (occasion !== "start_of_shift" || !whole) return undefined
  if (validFor) {
    const soon = madeAt - startedAt <= validFor
    return soon ? { start: madeAt, end: madeAt + validFor } : undefined
  }
  const since = shift?.early ?? shift?.start
  const within = shift && since <= startedAt && startedAt <= madeAt && madeAt < shift.end
  return within ? { start: shift.start, end: shift.end } : undefined
}

/** The shifts that a walk which begins now may be for: the coming one first, then the present one. */
export function choices(shifts, now) {
  const near = ({ early, start }) => early <= now && now < start
  const present = ({ start, end }) => start <= now && now < end
  return [...shifts.filter(near), ...shifts.filter(present)]
}
