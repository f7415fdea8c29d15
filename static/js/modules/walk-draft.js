/** Keeps a walk on the phone's disk after every answer, so that nothing ends it but handing it in. */
import { officeTime } from "../clock.js"
import { canKeep, draft, draftName, draftOf, keepDraft, pageOf } from "../drafts.js"
import { site } from "../heard.js"
import { uuid7 } from "../ids.js"

const PATIENCE = 2000 // milliseconds until another window counts as having the walk open

/**
 * Take up what was begun, or begin. Returns {save, draft}; or {over}, a draft whose shift is over,
 * whoever began it; or {page}, where one goes on that this page does not fit; or {elsewhere}, when
 * another window of this phone has the walk open; or {} where nothing can be kept, which the page says.
 */
export async function follow(form, now = Date.now()) {
  if (!canKeep()) return sayPlain(form)
  const { unit, by } = form.dataset
  const { checklist, version, units } = fields(form)
  const known = await site()
  const isOver = (one) => one && officeTime(known, now) >= one.ends_at
  const [first, own] = [await draftOf(unit, checklist), draftName(unit, by, checklist)]
  const name = isOver(first) ? first.name : own
  if (!(await isAlone(name))) return { elsewhere: true }
  const before = await draft(name)
  if (!before && name !== own) return follow(form, now) // another window has just handed it in
  if (before && !fits(before, version, by)) return { page: pageOf(before) }
  if (isOver(before)) return { over: before }
  const fresh = { name, unit, by, checklist, version, units, entry: uuid7(), started_at: now }
  return begin(form, before ?? fresh, known)
}

// Who made a walk that nobody was signed in for is asked for on the page that the phone keeps.
const fits = (before, version, by) => before.version === version && Boolean(before.by || !by)

function begin(form, kept, known) {
  form.dataset.began = officeTime(known, kept.started_at)
  if (!form.dataset.opened) restore(form, kept)
  const save = () => keepDraft({ ...kept, ...written(form) })
  for (const kind of ["input", "change"]) form.addEventListener(kind, () => save().catch(console.error))
  return { save, draft: kept }
}

/** The form goes as it is; whoever walks shall know before that nothing of it is kept. */
function sayPlain(form) {
  form.querySelector("[data-part='not-kept']").hidden = false
  return {}
}

/** Have all on the disk before the next step shows; say whether this one is still shown then. */
export async function isKept(walk, step) {
  await walk.kept.save?.().catch(console.error)
  return walk.steps[walk.at] === step
}

/** What of the form is kept: never a token, never a PIN. */
function written(form) {
  const pairs = [...new FormData(form)].filter(
    ([name, value]) => !/^(csrf_token|signer|signer_pin)$/.test(name) && typeof value === "string",
  )
  const photos = pairs.filter(([name]) => name.startsWith("photos:")).map(([, value]) => value)
  const title = form.ownerDocument.querySelector("h1").textContent
  return { pairs, photos, title, ends_at: endsAt(form), kept_at: Date.now() }
}

/** When this walk can no longer cover what it was begun for. */
export function endsAt(form) {
  const { shifts, validFor } = form.dataset
  const start = Number(new FormData(form).get("for_shift"))
  const shift = JSON.parse(shifts).find((one) => one.start === start)
  const longest = Number(validFor) || 12 * 3600_000
  return shift?.end ?? Number(form.dataset.began) + longest
}

const fields = ({ elements }) =>
  Object.fromEntries(["checklist", "version", "units"].map((name) => [name, elements[name].value]))

/** Hold a walk for this window alone; without locks nobody can tell, and it is let through. */
function isAlone(name) {
  if (!navigator.locks) return true
  const signal = AbortSignal.timeout(PATIENCE) // one just closed or loaded anew lets go a little later
  return new Promise((resolve) => {
    const hold = () => new Promise(() => resolve(true)) // until this page goes
    navigator.locks.request(name, { signal }, hold).catch(() => resolve(false))
  })
}

/** Put back what was answered; numbers that were typed in other units are asked for again. */
export function restore(form, { pairs = [], units }) {
  const isOther = units !== form.elements.units.value
  for (const [name, value] of pairs) {
    const isNumber = name.startsWith("value:") || (name.startsWith("answer:") && value === "value")
    if (!(isOther && isNumber) && name !== "units") put(form, name, value)
  }
}

function put(form, name, value) {
  const known = [...form.querySelectorAll(`[name="${CSS.escape(name)}"]`)]
  const chosen = known.find((field) => /radio|checkbox/.test(field.type) && field.value === value)
  if (chosen) chosen.checked = true
  else if (name.startsWith("photos:")) putPhoto(form, name, value)
  else if (known[0] && !/radio|checkbox/.test(known[0].type)) {
    known[0].value = value
    known[0].dispatchEvent(new Event("input", { bubbles: true })) // limits judge it again
  }
}

function putPhoto(form, name, value) {
  const place = form.querySelector(`[data-module='photo-field'][data-name="${CSS.escape(name)}"]`)
  const field = document.createElement("input")
  Object.assign(field, { type: "hidden", name, value })
  place?.append(field)
}
