/** Who signs an entry: whoever the page was made for, else crew number and PIN, sealed. */
import { officeTime } from "./clock.js"
import { sealPin } from "./seal.js"

/** Return {by} or {by, sealed}; nothing where both are still wanted, which the page then says. */
export async function signerOf(form, entry, site, now = officeTime(site)) {
  const { signed_in, seal_key } = site
  if (form.dataset.by && !form.elements.signer) return { by: form.dataset.by }
  const another = form.elements.another?.checked ?? false
  if (isSignedIn(signed_in, now) && !another) return { by: signed_in.crew_number }
  const [number, pin] = ["signer", "signer_pin"].map((name) => form.elements[name].value.trim())
  const words = form.querySelector("[data-part='unsigned']")
  words.hidden = Boolean(number && pin && seal_key)
  if (!words.hidden) {
    form.querySelector("[data-part='known']").hidden = !isSignedIn(signed_in, now)
    form.querySelector("[data-part='another']").hidden = false // a sign-in may end under the page
    words.textContent = form.querySelector("[data-part='signer']").dataset.wanted
    form.elements[number ? "signer_pin" : "signer"].focus()
    return undefined
  }
  return { by: number, sealed: await sealPin(seal_key, pin, entry) }
}

/** Offer to sign as whoever is signed in on this phone, while that holds. */
export function offerSigner(form, site, now = officeTime(site)) {
  const { signed_in } = site
  const part = (name) => form.querySelector(`[data-part='${name}']`)
  const known = isSignedIn(signed_in, now)
  part("known").hidden = !known
  part("another").hidden = known
  if (!known) return
  part("who").textContent = part("known").dataset.words.replace("{number}", signed_in.crew_number)
  form.elements.another.addEventListener("change", ({ target }) => {
    part("another").hidden = !target.checked
  })
}

export const isSignedIn = (signed_in, now) => Boolean(signed_in) && now < signed_in.until
