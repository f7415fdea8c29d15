/** Keeps the browser's offer to put the program on the home screen: it comes once, asked for or not. */
let offer
const listeners = new Set()

export const isOffered = () => Boolean(offer)

/** Be told when an offer comes or is over. */
export function listen(tell) {
  listeners.add(tell)
}

/** Let the browser ask; an offer can be taken up once, whatever is answered. */
export async function takeUp() {
  const taken = offer
  keep(undefined)
  await taken.prompt()
}

function keep(event) {
  offer = event
  for (const tell of listeners) tell()
}

// Kept from showing a bar of the browser's own, which would lie over the answers of a walk.
globalThis.addEventListener?.("beforeinstallprompt", (event) => {
  event.preventDefault()
  keep(event)
})
globalThis.addEventListener?.("appinstalled", () => keep(undefined))
