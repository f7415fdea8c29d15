/** A form whose entry is kept on the phone first, and sent as soon as the server answers. */
import { isThere } from "../db.js"
import { bodyOf } from "../entry-body.js"
import { keep } from "../entries.js"
import { site, unit } from "../heard.js"
import { me } from "../http.js"
import { uuid5, uuid7 } from "../ids.js"
import { lead } from "../lead.js"
import { keepPicture } from "../picture.js"
import { sealPin } from "../seal.js"
import { signerOf } from "../signer.js"
import { reader } from "../walk-body.js"

const QUICK = 2500 // milliseconds

export function start(form) {
  if (!isThere() || !globalThis.crypto?.subtle) return // the form goes as it is
  let busy = false
  addEventListener("pageshow", ({ persisted }) => persisted && delete form.dataset.entry) // a new one
  form.addEventListener("submit", async (event) => {
    event.preventDefault()
    if (busy) return
    busy = true
    await submit(form).finally(() => (busy = false))
  })
}

async function submit(form) {
  if (isForServer(form) && (await isOnline())) return form.submit()
  const known = (await site()) ?? {}
  const found = await unit(form.dataset.unit)
  const about = { hours: found?.hours ?? "", hoursAt: found?.hours_at }
  const fields = await fieldsOf(form).catch(({ name }) => say(form, name === "EncodingError" ? "unread" : "full"))
  if (!fields) return // a photo is none, or found no room
  const made = bodyOf(form.dataset.kind, fields, about)
  say(form, made.wanted, about)
  if (made.wanted) return
  const id = (form.dataset.entry ??= uuid7()) // one for all taps
  const signer = form.elements.pin ? await sealedBy(form, id, known) : await signerOf(form, id, known)
  if (!signer) return
  const record = await recordOf(form, made, id, known, found)
  try {
    await keep({ ...record, ...signer })
  } catch {
    return form.elements.csrf_token ? form.submit() : say(form, "full")
  }
  await lead(record, form.dataset.done)
}

// Where the server can say at once that a PIN is wrong, or what was found again meanwhile, it shall.
function isForServer({ elements, dataset: { kind } }) {
  return Boolean(elements.csrf_token && (elements.pin || kind === "clear"))
}

async function recordOf(form, { body, photos = [], text }, id, { device }, unit) {
  const { kind, unit: number } = form.dataset
  const seen = unit ? { seen: { seq: unit.seq, hash: unit.hash } } : {}
  const at = new Date().toISOString()
  const entry = { id, kind, unit: number, made_at: at, body, ...seen, ...(device ? { device } : {}) }
  const found = await foundBy(kind, { id, body, text, place: placeOf(form) }, unit)
  return { id, entry, photos, stops: found.length > 0, found }
}

/** Where a defect is, in the words of the page: chosen in the form, or standing above it. */
function placeOf(form) {
  const place = form.querySelector("#item :checked") ?? form.parentElement.querySelector(".large")
  return place?.textContent.trim() ?? ""
}

/** The defect that an entry opens, by the id that the office will give it. */
async function foundBy(kind, { id, body, text, place }, unit) {
  if (kind === "defect") return [{ id, item: body.item, text: `${place}: ${text}`, covered: false }]
  const limit = unit?.biodiesel_limit ?? Infinity
  if (kind !== "fill" || !(body.biodiesel_percent > limit)) return []
  const words = `${body.biodiesel_percent} % > ${limit} %`
  return [{ id: await uuid5(id, "biodiesel"), item: "biodiesel", text: words, covered: false }]
}

/** The fields, what was tapped in words as `named`, and photos that only this form holds so far. */
async function fieldsOf(form) {
  const pairs = [...new FormData(form)]
  const files = pairs.map(([, value]) => value).filter((value) => value instanceof File && value.size)
  for (const file of files) pairs.push(["photos", (await keepPicture(file)).name])
  for (const tapped of form.querySelectorAll("[name='findings']:checked")) {
    pairs.push(["named", tapped.closest("label").textContent.trim()])
  }
  return reader(pairs.filter(([, value]) => typeof value === "string"))
}

async function sealedBy(form, id, { seal_key }) {
  return { by: form.dataset.by, sealed: seal_key && (await sealPin(seal_key, form.elements.pin.value, id)) }
}

const isOnline = () => me(QUICK).then(({ status }) => status === 200, () => false)

function say(form, name, { hours } = {}) {
  const words = form.querySelector("[data-part='wanted']") ?? form.insertBefore(line(), form.lastElementChild)
  words.textContent = name ? JSON.parse(form.dataset.wanted)[name].replace("{hours}", hours) : ""
  words.hidden = !name
  const insisted = form.querySelector("[data-part='insisted']")
  if (insisted && ["lower", "faster"].includes(name)) insisted.hidden = false
}

function line() {
  const made = document.createElement("p")
  made.className = "field__error"
  made.role = "alert"
  made.dataset.part = "wanted"
  return made
}
