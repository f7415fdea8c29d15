/** A walk that this page cannot go on with: what it found bad goes in, before a new one begins. */
import { removeDraft } from "../drafts.js"
import { badSteps } from "../walk-record.js"
import { signed } from "./walk-hand-in.js"
import { restore } from "./walk-draft.js"

/** Show why the page does not go on with the walk, and what to do. */
export function stop({ form, steps, kept }) {
  const words = JSON.parse(form.dataset.wanted)
  if (kept.elsewhere) tell(form, steps, words.elsewhere)
  if (kept.over) ask(form, steps, kept.over, words)
}

function ask(form, steps, draft, words) {
  restore(form, draft)
  putShift(form, draft)
  const bad = badSteps(form, steps)
  tell(form, steps, bad.length ? words.over : words.over_good, bad)
  const begin = async () => {
    await removeDraft(draft.name)
    location.reload()
  }
  if (bad.length === 0) return button(form, words.begin).addEventListener("click", begin)
  const sign = steps.at(-1)
  sign.hidden = false
  sign.querySelector("button.button--main").textContent = words.hand_in_bad
  form.addEventListener("submit", (event) => {
    event.preventDefault()
    signed({ form, draft, steps: bad })
  })
}

// The page of today does not offer the shift that the walk was begun for.
function putShift(form, { pairs }) {
  const value = pairs.find(([name]) => name === "for_shift")?.[1] ?? ""
  for (const field of form.querySelectorAll("[name='for_shift']")) field.remove()
  form.append(Object.assign(document.createElement("input"), { type: "hidden", name: "for_shift", value }))
}

function tell(form, steps, sentence, bad = []) {
  for (const part of [...steps, ...form.querySelectorAll(".stop")]) part.hidden = true
  const notice = document.createElement("div")
  notice.className = "notice notice--strong"
  notice.append(element("p", sentence), ...bad.map((step) => element("p", title(step))))
  form.prepend(notice)
}

const title = (step) => step.querySelector(".step__look").textContent

function button(form, words) {
  const made = element("button", words)
  Object.assign(made, { type: "button", className: "button button--main" })
  form.querySelector(".notice").after(made)
  return made
}

function element(tag, words) {
  const made = document.createElement(tag)
  made.textContent = words
  return made
}
