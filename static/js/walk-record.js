/** A finished walk as the phone keeps it: the entry, and what may be said of the unit by it. */
import { covering } from "./covering.js"
import { strange } from "./hours.js"
import { uuid5 } from "./ids.js"
import { answerOf, fails, number, reader, wanted } from "./walk-body.js"

/** What a step asks for, as the scripts that judge need it. */
export function asked(step) {
  const stored = step.querySelector("[data-stored]")?.dataset.stored
  return { item: step.dataset.item, stored: stored ? JSON.parse(stored) : undefined }
}

export const fieldsOf = (form) =>
  reader([...new FormData(form)].filter(([, value]) => typeof value === "string"))

/** The steps whose answers open a defect. */
export function badSteps(form, steps) {
  const fields = fieldsOf(form)
  const items = steps.filter((step) => step.dataset.item)
  return items.filter((step) => fails(answerOf(fields, asked(step)), asked(step)))
}

/** The first step at which something is wanted, and which sentence says what; else nothing. */
export function lacking(form, steps) {
  const fields = fieldsOf(form)
  for (const [place, step] of steps.entries()) {
    const name = step.dataset.item && wanted(fields, asked(step))
    if (name) return { place, name }
  }
  const name = hoursWanted(form, fields)
  return name ? { place: steps.length - 1, name } : undefined
}

function hoursWanted(form, fields) {
  if (fields.one("no_hours")) return ""
  const hours = number(fields.one("hours"))
  if (!(hours >= 0)) return "hours"
  return fields.one("insisted") ? "" : strange(hours, form.dataset)
}

/**
 * The record that is kept; `steps` are those whose answers go in, `signer` says whose it is, and
 * `ahead` how far the office's clock is ahead of this one.
 */
export async function recordOf({ form, steps, draft, signer, device, ahead = 0, now = Date.now() }) {
  const fields = fieldsOf(form)
  const told = steps.map((step) => ({ step, about: asked(step), answer: answerOf(fields, asked(step)) }))
  const answers = told.map(({ answer }) => answer)
  const found = await foundBy(told, draft.entry)
  const { id, unit, at } = { id: draft.entry, unit: draft.unit, at: new Date(now).toISOString() }
  const body = bodyOf({ form, fields, draft, answers, at })
  const times = { startedAt: draft.started_at + ahead, madeAt: now + ahead }
  const entry = { id, kind: "walkaround", unit, made_at: at, body, ...seen(fields.one("seen")), ...device }
  return {
    id,
    entry,
    ...signer,
    found,
    covering: covering({ ...occasion(form, fields), answers, ...times }),
    photos: answers.flatMap(({ photos = [] }) => photos),
    stops: found.some(({ covered }) => !covered),
  }
}

function bodyOf({ form, fields, draft, answers, at }) {
  const hours = fields.one("no_hours") ? NaN : number(fields.one("hours"))
  const shift = Number(fields.one("for_shift"))
  const looks = fields.all("looks")
  return {
    checklist: draft.checklist,
    version: draft.version,
    started_at: new Date(draft.started_at).toISOString(),
    finished_at: at,
    answers,
    ...(shift ? { for_shift: new Date(shift).toISOString() } : {}),
    ...(hours >= 0 ? { hours } : {}),
    ...(hours >= 0 && strange(hours, form.dataset) ? { insisted: true } : {}),
    ...(looks.length ? { looked_again: looks } : {}),
  }
}

function occasion(form, fields) {
  const { occasion, validFor, shifts } = form.dataset
  const shift = JSON.parse(shifts).find(({ start }) => start === Number(fields.one("for_shift")))
  return { occasion, validFor: Number(validFor), shift }
}

/** The defects that it opens, by the ids that the office will give them, with their words. */
function foundBy(told, entry) {
  const bad = told.filter(({ answer, about }) => fails(answer, about))
  return Promise.all(
    bad.map(async ({ step, answer }) => ({
      id: await uuid5(entry, answer.item),
      item: answer.item,
      text: wordsOf(step, answer),
      covered: answer.answer === "no_worse" && Boolean(answer.than),
      than: answer.than,
    })),
  )
}

function wordsOf(step, { findings = [], note = "", value = "" }) {
  const label = (name) => step.querySelector(`[type=checkbox][value="${CSS.escape(name)}"]`).closest("label")
  const words = [...findings.map((name) => label(name).textContent.trim()), value, note]
  const said = words.filter((word) => word !== "").join(", ")
  const look = step.querySelector(".step__look").textContent
  return said ? `${look}: ${said}` : look
}

function seen(text) {
  const [seq, hash] = text.split(":")
  return hash ? { seen: { seq: Number(seq), hash } } : {}
}
