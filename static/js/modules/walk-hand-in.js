/** Signs a walk: kept on the phone first, and only then sent. */
import { wentAsForm } from "../drafts.js"
import { keep, photo } from "../entries.js"
import { site } from "../heard.js"
import { me, put } from "../http.js"
import { lead } from "../lead.js"
import { signerOf } from "../signer.js"
import { lacking, recordOf } from "../walk-record.js"

const QUICK = 2500 // milliseconds for the server to answer

/** Sign a walk that is whole; else `go` to the first step at which something is wanted. */
export async function sign({ form, steps, kept: { draft } }, go) {
  const lack = lacking(form, steps)
  say(steps, lack, JSON.parse(form.dataset.wanted), form.dataset)
  if (lack) return go(lack.place)
  const unkept = () => sendForm(form, draft)
  await signed({ form, draft, steps: steps.filter((step) => step.dataset.item), unkept })
}

/** Keep the answers of these steps under a signature; where they could not be kept, call `unkept`. */
export async function signed({ form, draft, steps, unkept, signedBy = signerOf }) {
  const known = (await site()) ?? {}
  const signer = await signedBy(form, draft.entry, known)
  if (!signer) return
  const device = known.device ? { device: known.device } : {}
  const { ahead } = known
  const record = await recordOf({ form, steps, draft, signer, device, ahead })
  try {
    await keep(record, draft.name)
  } catch {
    return unkept()
  }
  await lead(record)
}

// A page of the server's own can still send the form; one that the phone keeps can only wait. Where
// nothing answers, the browser's own page about that would take the place of the answers.
async function sendForm(form, { name }) {
  const answer = form.elements.csrf_token && (await me(QUICK).catch(() => undefined))
  const token = answer?.json?.csrf
  // Whoever has to sign in first finds the form again after it.
  if (answer?.status !== 401 && !token) return sayFull(form)
  if (token) await sendPhotos(form, token)
  sessionStorage.setItem(wentAsForm(form.elements.entry.value), name)
  form.submit()
}

// The form names its photos; no entry of this phone's will send them.
async function sendPhotos(form, token) {
  const named = [...new FormData(form)].filter(([name]) => name.startsWith("photos:"))
  for (const [, name] of named) {
    const kept = await photo(name)
    if (kept) await put(`/api/v1/photos/${name}`, kept.bytes, token).catch(() => undefined)
  }
}

export function sayFull(form, words = form.querySelector("#sign [data-part='wanted']")) {
  words.textContent = JSON.parse(form.dataset.wanted).full
  words.hidden = false
}

function say(steps, lack, sentences, { hours }) {
  for (const words of steps.flatMap((step) => [...step.querySelectorAll("[data-part='wanted']")])) {
    words.hidden = true
  }
  if (!lack) return
  const step = steps[lack.place]
  const words = step.querySelector("[data-part='wanted']")
  words.textContent = sentences[lack.name].replace("{hours}", hours)
  words.hidden = false
  step.dataset.error = ""
  const insisted = step.querySelector("[data-part='insisted']")
  if (insisted && ["lower", "faster"].includes(lack.name)) insisted.hidden = false
}
