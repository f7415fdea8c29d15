/** A walk that this page cannot go on with: what it found bad goes in, before a new one begins. */
import { officeTime } from "../clock.js"
import { removeDraft } from "../drafts.js"
import { site } from "../heard.js"
import { isSignedIn, signerOf } from "../signer.js"
import { badSteps } from "../walk-record.js"
import { sayFull, signed } from "./walk-hand-in.js"
import { restore } from "./walk-draft.js"

/** Show why the page does not go on with the walk, and what to do. */
export function stop({ form, steps, kept }) {
  const words = JSON.parse(form.dataset.wanted)
  if (kept.elsewhere) tell(form, steps, words.elsewhere)
  if (kept.over) ask(form, steps, kept.over, words)
}

async function ask(form, steps, draft, words) {
  restore(form, draft)
  putShift(form, draft)
  const bad = badSteps(form, steps)
  if (bad.length === 0) return beginAnew(form, steps, draft, words)
  const handing = { form, draft, steps: bad }
  if (await isAnothers(form, draft)) return askAnother(handing, steps, words)
  tell(form, steps, words.over, bad)
  const sign = steps.at(-1)
  sign.hidden = false
  sign.querySelector("button.button--main").textContent = words.hand_in_bad
  const signedBy = async (...given) => makersOwn(draft, await signerOf(...given))
  form.addEventListener("submit", alone(() => signed({ ...handing, signedBy, unkept: () => sayFull(form) })))
}

function beginAnew(form, steps, draft, words) {
  tell(form, steps, words.over_good)
  button(form, words.begin).addEventListener("click", async () => {
    await removeDraft(draft.name)
    location.reload()
  })
}

/** Whether somebody is signed in here, and not its maker. */
async function isAnothers(form, { by }) {
  const known = (await site()) ?? {}
  const { signed_in } = known
  const kept = isSignedIn(signed_in, officeTime(known)) ? signed_in.crew_number : ""
  const here = form.elements.csrf_token ? form.dataset.by : kept
  return Boolean(by && here && here !== by)
}

/** Nobody signs for what another one saw: it goes in its maker's name, unconfirmed. */
function askAnother(handing, steps, words) {
  const { form, draft } = handing
  tell(form, steps, words.over_other.replaceAll("{number}", draft.by), handing.steps)
  const full = form.querySelector(".notice").appendChild(element("p", ""))
  const signedBy = () => makersOwn(draft, {})
  const hand = alone(() => signed({ ...handing, signedBy, unkept: () => sayFull(form, full) }))
  button(form, words.hand_in_other).addEventListener("click", hand)
}

const makersOwn = ({ by }, signer) => (signer && by && signer.by !== by ? { by } : signer)

/** A second tap does nothing while the first is at work. */
function alone(work) {
  let busy = false
  return async (event) => {
    event.preventDefault()
    if (busy) return
    busy = true
    await work().finally(() => (busy = false))
  }
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
