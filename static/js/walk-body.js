/** What a walk says, out of the fields of its form: the answers as an entry holds them. */
import { isTooFine } from "./modules/walk-limits.js"

const BAD = new Set(["defect", "no_worse"])

/** The value of a field, and all values of one that may stand several times. */
export const reader = (pairs) => ({
  one: (name) => (pairs.find(([key, value]) => key === name && value !== "")?.[1] ?? "").trim(),
  all: (name) => pairs.filter(([key, value]) => key === name && value !== "").map(([, value]) => value),
})

/** What was given at one item; `stored` is how its number becomes one of the list's unit. */
export function given(fields, { item, stored }) {
  const typed = fields.one(`value:${item}`)
  const answer = fields.one(`answer:${item}`) || (stored && typed ? "value" : "")
  return { answer, typed, note: fields.one(`note:${item}`) }
}

/** The name of the sentence that says what is still wanted at an item; nothing where all is there. */
export function wanted(fields, about) {
  const { answer, typed, note } = given(fields, about)
  if (!answer) return "answer"
  if (answer === "could_not_check" && !note) return "why"
  if (answer === "value") return isRead(typed, about.stored) ? "" : "number"
  return about.stored && typed ? "both" : ""
}

// Between two steps a number could lie outside the limits that stand there, and yet be in order.
const isRead = (typed, stored) =>
  Number.isFinite(number(typed)) && !isTooFine(typed, { digits: stored?.steps })

/** One answer as the entry holds it; what says nothing is left out. */
export function answerOf(fields, about) {
  const { answer, typed, note } = given(fields, about)
  const { item, stored } = about
  const isValue = answer === "value"
  const told = isValue ? { value: inListUnit(number(typed), stored) } : { answer }
  const at = Number(fields.one(`at:${item}`))
  const more = {
    findings: BAD.has(answer) || isValue ? fields.all(`findings:${item}`) : [],
    note,
    photos: fields.all(`photos:${item}`),
    than: answer === "no_worse" || isValue ? fields.all(`than:${item}`) : [],
    at: at ? new Date(at).toISOString() : "",
  }
  const said = Object.entries(more).filter(([, value]) => value.length > 0)
  return { item, ...told, ...Object.fromEntries(said) }
}

/** Say whether an answer opens a defect; what is no worse than a deferred one opens one, covered. */
export function fails({ answer, value }, { stored }) {
  if (value === undefined) return BAD.has(answer)
  return side(value, stored?.low, stored?.high) !== 0
}

/** A number that was typed, with a point or a comma; NaN for anything else. */
export function number(typed) {
  const text = typed.replaceAll(/\s/g, "").replace(",", ".")
  return /^[+-]?\d{1,12}(\.\d{1,6})?$/.test(text) ? Number(text) : NaN
}

/** A number on a step of what is shown, in the list's unit, on the same side of its limits. */
export function inListUnit(shown, { factor, offset, digits, low, high }) {
  if (factor === undefined) return shown
  const meant = Number((shown * factor + offset).toPrecision(14)) // without the noise of doubles
  for (let more = digits; more < 16; more++) {
    const value = Number(meant.toFixed(more))
    if (side(value, low, high) === side(meant, low, high)) return value
  }
  return meant
}

const side = (value, low, high) => (value < (low ?? -Infinity) ? -1 : value > (high ?? Infinity) ? 1 : 0)
