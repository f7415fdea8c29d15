/** A walk that the server has taken in leaves no draft behind. */
import { isThere } from "../db.js"
import { draftName, removeDraft } from "../drafts.js"

export async function start(element) {
  if (isThere()) await removeDraft(draftName(...element.dataset.draft.split(" ")))
}
