/** After something was kept: to what the office says of it, or without it to what may be said here. */
import { change, entry } from "./entries.js"
import { sendInBackground, sendNow } from "./send.js"
import { standingOf } from "./standing.js"

const PATIENCE = 6000 // milliseconds for the office to answer

/** It is on the disk by now: whatever fails here, the way leads on, and nobody has to tap again. */
export async function lead({ id, entry: { unit, kind } }, done = "") {
  navigator.storage?.persist?.()
  sendInBackground().catch(() => undefined)
  const patience = new Promise((resolve) => setTimeout(resolve, PATIENCE))
  await note(id, unit).catch(() => undefined)
  await Promise.race([sendNow().catch(() => undefined), patience])
  const { state } = (await entry(id).catch(() => undefined)) ?? {}
  const page = `/units/${encodeURIComponent(unit)}`
  const there = kind === "walkaround" ? `${page}/walkarounds/${id}` : page
  if (state !== "sent") return location.assign(`/kept/result?entry=${id}`)
  await change(id, { told_at: Date.now() }).catch(() => undefined) // the server's own page says it all
  sessionStorage.setItem("notice", done)
  location.assign(there)
}

/** What is shown of the unit on the strength of it. */
const note = async (id, unit) => change(id, { shown: (await standingOf(unit))?.verdict.state })
