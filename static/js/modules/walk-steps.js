/** The order of a walk's steps, apart from the page. */

const GUARD = 350 // milliseconds: about the time of a double tap

/** Return where to go on: at what is wrong, else after the last item answered, else at the start. */
export function dueStep(steps) {
  const wrong = steps.findIndex((step) => step.wrong)
  if (wrong >= 0) return wrong
  if (!steps.some((step) => step.answered)) return 0
  const open = steps.findIndex((step) => step.asks && !step.answered)
  return open < 0 ? steps.length - 1 : open
}

/** Return what comes after a step: the next one, but from a wrong one the next wrong one. */
export function following(steps, at) {
  if (!steps[at].wrong) return at + 1
  const next = steps.findIndex((step, place) => place > at && step.wrong)
  return next < 0 ? steps.length - 1 : next
}

/** Say whether an answer leads on at once, or first asks for words or a photo. */
export function movesOn(answer, outside) {
  if (answer === "value") return !outside
  return answer === "in_order" || answer === "not_fitted" || answer === "no_worse"
}

export function tooSoon(tap, shown) {
  return tap - shown < GUARD
}

/** What is told and wanted at one step of the page. */
export function stateOf(step) {
  return {
    asks: Boolean(step.querySelector("[name^='answer:']")),
    answered: Boolean(step.querySelector("[name^='answer:']:checked")),
    wrong: "error" in step.dataset,
    value: step.querySelector(":not([data-fine]) > .number-pad [name^='value:']")?.value ?? "",
    outside: Boolean(step.querySelector("[data-outside]")),
  }
}
