/** Shows how the program gets on the home screen of this phone, if there is a way. */
import { isOffered, listen, takeUp } from "../install-offer.js"

const INSTALLED = "(display-mode: standalone)"

export function start(element) {
  const installed = matchMedia(INSTALLED)
  const show = () => showWay(element, way(here(installed)))
  element.querySelector("button").addEventListener("click", takeUp)
  installed.addEventListener("change", show)
  listen(show)
  show()
}

/** Which words hold here: "insecure", "offered", "share", or "none". */
export function way({ isInstalled, isSecure, isOffered, isApplePhone }) {
  if (isInstalled) return "none"
  if (!isSecure) return "insecure"
  if (isOffered) return "offered"
  return isApplePhone ? "share" : "none"
}

/** Phones whose browsers make no offer tell by `standalone` whether they run from the home screen. */
export function here(installed, { isSecureContext, navigator } = globalThis) {
  return {
    isInstalled: installed.matches || navigator.standalone === true,
    isSecure: isSecureContext,
    isOffered: isOffered(),
    isApplePhone: navigator.standalone === false && navigator.maxTouchPoints > 0,
  }
}

function showWay(element, name) {
  for (const part of element.querySelectorAll("[data-part]")) part.hidden = part.dataset.part !== name
  element.hidden = name === "none"
}
