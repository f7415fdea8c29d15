/** The walk by keyboard. */

/** Arrows lead to an answer without giving it, for giving it moves on; the space bar gives it. */
export function roam(event) {
  const step = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[event.key]
  if (!step || !event.target.matches("[type=radio][name^='answer:']")) return
  event.preventDefault()
  const answers = [...event.target.closest(".answers").querySelectorAll("[type=radio]")]
  answers.at((answers.indexOf(event.target) + step) % answers.length).focus()
}

/** Enter goes on, as a tap would; only the last step may send the form. */
export function enter(event, step, last) {
  if (event.key !== "Enter" || !event.target.matches("input") || event.isComposing) return
  if (last) return
  event.preventDefault()
  step.querySelector("[value='value']")?.click()
}
