/** A new version: kept whole beside the old one, taken over by a tap, never while a walk is open. */

const AGAIN = 1000 // milliseconds

/** Register the worker, and say in `element` when a new version waits. */
export async function watch(element) {
  const { serviceWorker } = navigator
  if (!serviceWorker) return
  addEventListener("walkaround:blocked", () => say(element, element.dataset.blocked))
  const options = { scope: "/", updateViaCache: "none" }
  const registration = await serviceWorker.register(address("/sw.js"), options).catch(() => undefined)
  if (!registration) return
  takeCharge(serviceWorker)
  const offer = () => registration.waiting && serviceWorker.controller && ask(element, registration)
  registration.addEventListener("updatefound", () => follow(element, registration.installing, offer))
  offer()
}

// A page that was on its way when the worker took charge was not there yet, and nobody serves it.
async function takeCharge(serviceWorker) {
  const { active } = await serviceWorker.ready
  if (!serviceWorker.controller) active.postMessage("take charge")
}

function follow(element, worker, offer) {
  worker.addEventListener("statechange", () => {
    if (worker.state === "installed") offer()
    if (worker.state === "redundant" && navigator.serviceWorker.controller) {
      say(element, element.dataset.stuck)
    }
  })
}

function ask(element, registration) {
  const button = say(element, element.dataset.new, "button")
  button.className = "button button--small"
  button.addEventListener("click", async () => {
    if (await isWalking()) return say(element, element.dataset.busy)
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true })
    const takeOver = () => registration.waiting?.postMessage("take over")
    takeOver()
    setInterval(takeOver, AGAIN) // a browser may leave it waiting while the one in charge is at work
  })
}

/** Say whether a walk is open in any window of this phone. */
async function isWalking() {
  const { held = [] } = (await navigator.locks?.query()) ?? {}
  return held.some(({ name }) => name.startsWith("walk:"))
}

function say(element, words, tag = "span") {
  element.querySelector("[data-part='update']")?.remove()
  const made = document.createElement(tag)
  made.dataset.part = "update"
  made.textContent = words
  element.append(made)
  element.hidden = false
  return made
}

// Trusted Types let nobody name a worker by mere text; this one policy lets this one address through.
function address(path) {
  const policy = globalThis.trustedTypes?.createPolicy("walkaround", {
    createScriptURL: (url) => (url === "/sw.js" ? url : undefined),
  })
  return policy ? policy.createScriptURL(path) : path
}
