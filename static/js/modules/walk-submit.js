/** Where the phone keeps what is finished, the form of a walk does not go by itself. */
const SOON = 1000 // milliseconds: after the first step shows, and before anybody can sign

const handIn = () => import("./walk-hand-in.js") // large, so it is not waited for at the start

/** Let a tap on the last button sign and keep the walk; `go` leads to what is still wanted. */
export function keepInstead(walk, go) {
  const { form, kept } = walk
  setTimeout(handIn, SOON) // also where the signal goes meanwhile
  form.addEventListener("submit", async (event) => {
    form.elements.sent.value = Date.now()
    if (!kept.draft) return
    event.preventDefault()
    if (walk.busy) return
    walk.busy = true
    const { sign } = await handIn()
    await sign(walk, go).finally(() => (walk.busy = false))
  })
}
