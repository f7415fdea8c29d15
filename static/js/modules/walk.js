/** Shows a walk one step at a time. The form stays whole: what is hidden is sent all the same. */
import { keepAwake } from "./walk-awake.js"
import { follow, isKept } from "./walk-draft.js"
import { enter, roam } from "./walk-keys.js"
import { isQuick, nameQuick } from "./walk-quick.js"
import { makeRoom } from "./walk-room.js"
import { dueStep, following, movesOn, stateOf, tooSoon } from "./walk-steps.js"
import { keepInstead } from "./walk-submit.js"

export async function start(form) {
  const steps = [...form.querySelectorAll("[data-step]")]
  const walk = { form, steps, back: document.querySelector("[data-part='back']"), at: 0, shownAt: 0 }
  for (const button of form.querySelectorAll("[data-part='next']")) button.hidden = false
  walk.kept = await follow(form)
  if (walk.kept.page) return location.replace(walk.kept.page)
  form.classList.add("walk--steps")
  form.hidden = false // a page that the phone keeps shows it only now: no tap goes nowhere
  if (walk.kept.over || walk.kept.elsewhere) return (await import("./walk-over.js")).stop(walk)
  keepAwake()
  listen(walk)
  const opened = steps.findIndex((step) => step.id && step.id === form.dataset.opened)
  const due = dueStep(steps.map(stateOf))
  const at = opened < 0 ? Math.min(history.state?.step ?? due, due) : opened
  history.replaceState({ step: at }, "")
  show(walk, at)
  walk.shownAt = -Infinity // nothing was under the finger before
}

function listen(walk) {
  const { form } = walk
  // Gloves bounce: a second tap must not answer what has just come under the finger.
  const guard = (event) => event.detail && tooSoon(event.timeStamp, walk.shownAt) && swallow(event)
  form.addEventListener("click", guard, { capture: true })
  form.addEventListener("click", (event) => tapped(walk, event.target))
  form.addEventListener("keydown", roam)
  form.addEventListener("keydown", (event) => {
    enter(event, walk.steps[walk.at], walk.at === walk.steps.length - 1)
  })
  keepInstead(walk, (at) => go(walk, at))
  walk.back.addEventListener("click", () => goBack(walk))
  addEventListener("popstate", (event) => arrive(walk, event.state?.step ?? 0))
  document.addEventListener("click", (event) => lead(walk, event))
}

function swallow(event) {
  event.preventDefault()
  event.stopPropagation()
}

function show(walk, at) {
  const step = walk.steps[at]
  walk.at = at
  walk.shownAt = performance.now()
  for (const [place, other] of walk.steps.entries()) other.hidden = place !== at
  for (const stop of walk.form.querySelectorAll(".stop")) stop.hidden = !stop.contains(step)
  walk.back.hidden = at === 0
  step.classList.remove("step--more")
  const loop = step.closest(".stop")?.querySelector(".walk__loop")
  if (loop) step.querySelector(".step__words").prepend(loop) // the words run round it
  scrollTo(0, 0)
  if (at === walk.steps.length - 1) nameQuick(step, walk.steps)
  makeRoom(step)
}

function arrive(walk, at) {
  document.querySelector(".errors")?.remove()
  show(walk, at)
  walk.steps[at].querySelector("h2, h3")?.focus({ preventScroll: true })
}

function go(walk, at) {
  if (at < 0 || at >= walk.steps.length) return
  history.pushState({ step: at }, "")
  arrive(walk, at)
}

function goOn(walk) {
  const next = following(walk.steps.map(stateOf), walk.at)
  delete walk.steps[walk.at].dataset.error
  go(walk, next)
}

function goBack(walk) {
  const { classList } = walk.steps[walk.at]
  if (!classList.contains("step--more")) return go(walk, walk.at - 1)
  walk.shownAt = performance.now()
  classList.remove("step--more")
}

async function tapped(walk, target) {
  const step = walk.steps[walk.at]
  if (target.matches("[type=radio][name^='answer:']")) return answered(walk, target.value)
  const why = step.querySelector("textarea")
  if (target.dataset.part !== "next" || (why && !why.reportValidity())) return
  if (await isKept(walk, step)) goOn(walk)
}

async function answered(walk, answer) {
  const step = walk.steps[walk.at]
  const { value, outside } = stateOf(step)
  step.querySelector("[name^='at:']").value = Date.now()
  step.toggleAttribute("data-quick", isQuick(performance.now(), walk.shownAt))
  step.querySelector("textarea").required = answer === "could_not_check"
  if (answer === "value" && !value) return step.querySelector(".number-pad__input").focus()
  if (!(await isKept(walk, step))) return
  if (movesOn(answer, outside)) return goOn(walk)
  walk.shownAt = performance.now()
  step.classList.add("step--more")
  step.querySelector(".step__more").scrollIntoView({ block: "nearest" })
}

function lead(walk, event) {
  const at = walk.steps.findIndex((step) => step.id && `#${step.id}` === event.target.hash)
  if (at < 0) return
  event.preventDefault()
  go(walk, at)
}
