/** After something was kept: to what the office says of it, or without it to what may be said here. */
import { entry } from "./entries.js"
import { sendInBackground, sendNow } from "./send.js"

const PATIENCE = 6000 // milliseconds for the office to answer

export async function lead({ id, entry: { unit, kind } }, done = "") {
  navigator.storage?.persist?.()
  sendInBackground().catch(() => undefined)
  const patience = new Promise((resolve) => setTimeout(resolve, PATIENCE))
  await Promise.race([sendNow(), patience])
  const { state } = (await entry(id)) ?? {}
  const page = `/units/${encodeURIComponent(unit)}`
  const there = kind === "walkaround" ? `${page}/walkarounds/${id}` : page
  if (state !== "sent") return location.assign(`/kept/result?entry=${id}`)
  sessionStorage.setItem("notice", done)
  location.assign(there)
}
