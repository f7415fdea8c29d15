/** Signs a walk: kept on the phone first, and only then sent. */
import { keep } from "../entries.js"
import { site } from "../heard.js"
import { lead } from "../lead.js"
import { signerOf } from "../signer.js"
import { lacking, recordOf } from "../walk-record.js"

/** Sign a walk that is whole; else `go` to the first step at which something is wanted. */
export async function sign({ form, steps, kept: { draft } }, go) {
  const lack = lacking(form, steps)
  say(steps, lack, JSON.parse(form.dataset.wanted), form.dataset)
  if (lack) return go(lack.place)
  await signed({ form, draft, steps: steps.filter((step) => step.dataset.item) })
}

/** Keep the answers of these steps under a signature; say so where they could not be kept. */
export async function signed({ form, draft, steps }) {
  const known = (await site()) ?? {}
  const signer = await signerOf(form, draft.entry, known)
  if (!signer) return
  const device = known.device ? { device: known.device } : {}
  const record = await recordOf({ form, steps, draft, signer, device })
  try {
    await keep(record, draft.name)
  } catch {
    return unkept(form)
  }
  await lead(record)
}

// A page of the server's own can still send the form; one that the phone keeps can only wait.
function unkept(form) {
  if (form.elements.csrf_token) return form.submit()
  const words = form.querySelector("#sign [data-part='wanted']")
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
