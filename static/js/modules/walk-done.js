/** A walk that went as its form leaves no draft behind, once the server has taken it in. */
import { isThere } from "../db.js"
import { removeDraft, wentAsForm } from "../drafts.js"

export async function start() {
  const note = wentAsForm(location.pathname.split("/").at(-1))
  const name = sessionStorage.getItem(note)
  if (!name || !isThere()) return // it was kept as an entry, which ended its draft, or it is an older one
  await removeDraft(name)
  sessionStorage.removeItem(note)
}
