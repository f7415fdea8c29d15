/** Shows a walk one step at a time. The form stays whole: what is hidden is sent all the same. */
import { dueStep, movesOn, tooSoon } from "./walk-steps.js"

export function start(form) {
  const steps = [...form.querySelectorAll("[data-step]")]
  const back = document.querySelector("[data-part='back']")
  const walk = { form, steps, back, at: 0, shownAt: 0 }
  form.classList.add("walk--steps")
  for (const button of form.querySelectorAll("[data-part='next']")) button.hidden = false
  form.addEventListener("click", (event) => tapped(walk, event))
  form.addEventListener("keydown", (event) => keyed(walk, event))
  form.addEventListener("submit", () => (form.elements.sent.value = Date.now()))
  back.addEventListener("click", () => goBack(walk))
  addEventListener("popstate", (event) => show(walk, event.state?.step ?? 0))
  document.querySelector(".errors")?.addEventListener("click", (event) => lead(walk, event))
  const opened = form.dataset.opened && steps.findIndex((step) => step.id === form.dataset.opened)
  const at = opened || (history.state?.step ?? dueStep(steps.map(stateOf)))
  history.replaceState({ step: at }, "")
  show(walk, at, { jump: false })
}

function show(walk, at, { jump = true } = {}) {
  walk.at = at
  walk.shownAt = performance.now()
  walk.steps.forEach((step, place) => (step.hidden = place !== at))
  for (const stop of walk.form.querySelectorAll(".stop")) {
    stop.hidden = !stop.contains(walk.steps[at])
  }
  walk.back.hidden = at === 0
  walk.steps[at].classList.remove("step--more")
  walk.steps[at].querySelector(".step__words")?.prepend(...loopOf(walk.steps[at]))
  if (!jump) return
  scrollTo(0, 0)
  walk.steps[at].querySelector("h1, h2, h3")?.focus({ preventScroll: true })
}

function go(walk, at) {
  if (at < 0 || at >= walk.steps.length) return
  history.pushState({ step: at }, "")
  show(walk, at)
}

/** The loop of a station goes along to the item, whose words then run round it. */
function loopOf(step) {
  return step.closest(".stop")?.querySelectorAll(".walk__loop") ?? []
}

function goBack(walk) {
  const more = walk.steps[walk.at].classList
  if (more.contains("step--more")) more.remove("step--more")
  else go(walk, walk.at - 1)
}

function tapped(walk, event) {
  const { target } = event
  if (!target.matches("input[type=radio], button, [type=checkbox]")) return
  // Gloves bounce: a second tap must not answer what has just come under the finger.
  if (tooSoon(event.timeStamp, walk.shownAt)) return event.preventDefault()
  if (target.dataset.part === "next") return go(walk, walk.at + 1)
  if (target.name.startsWith("answer:")) answered(walk, target)
}

function answered(walk, radio) {
  const step = walk.steps[walk.at]
  const { value, outside } = stateOf(step)
  step.querySelector("[name^='at:']").value = Date.now()
  if (radio.value === "value" && !value) return step.querySelector(".number-pad__input").focus()
  if (movesOn(radio.value, outside)) return go(walk, walk.at + 1)
  step.classList.add("step--more")
  walk.shownAt = performance.now()
  step.querySelector(".step__more").scrollIntoView({ block: "nearest" })
}

/** Enter goes on, as a tap would; only the last step may send the form. */
function keyed(walk, event) {
  if (event.key !== "Enter" || !event.target.matches("input") || event.isComposing) return
  const step = walk.steps[walk.at]
  if (step === walk.steps.at(-1)) return
  event.preventDefault()
  step.querySelector("[value='value']")?.click()
}

function lead(walk, event) {
  const at = walk.steps.findIndex((step) => `#${step.id}` === event.target.hash)
  if (at < 0) return
  event.preventDefault()
  go(walk, at)
}

function stateOf(step) {
  return {
    asks: Boolean(step.querySelector("[name^='answer:']")),
    answered: Boolean(step.querySelector("[name^='answer:']:checked")),
    wrong: "error" in step.dataset,
    value: step.querySelector("[name^='value:']")?.value ?? "",
    outside: Boolean(step.querySelector("[data-outside]")),
  }
}
