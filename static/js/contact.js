/** Tells the office how much waits here and what is kept, so that a silence or a loss is noticed there. */
import * as db from "./db.js"
import { entries, madeOf } from "./entries.js"
import { ask, post } from "./http.js"

const AGAIN = 10 * 60_000 // milliseconds until the same is said once more
const ADDRESS = "/phones/this"

/** Say it if it is new or was said long ago; `device` is this phone's name at the office. */
export async function tellOffice(device, now = Date.now()) {
  if (!device) return
  const waiting = (await entries()).filter(({ state }) => state === "waiting").length
  const release = (await db.get("phone", "pages"))?.release
  const told = await db.get("phone", "told")
  if (told?.waiting === waiting && told.release === release && Math.abs(now - told.at) < AGAIN) return
  const { json: known } = await ask(ADDRESS)
  // Where the office knows of more than was ever made here, this browser has lost what it kept.
  const emptied = madeOf(await db.get("phone", "n"), device) < known.highest
  const answer = await post(ADDRESS, { waiting, release, ...(emptied ? { emptied } : {}) }, known.csrf)
  if (answer.status !== 200) return
  if (emptied) await goOn(device, answer.json.highest)
  await db.put("phone", { key: "told", waiting, release, at: now })
}

/** Number the next entries from there on. */
function goOn(device, highest) {
  return db.change(["phone"], (tx) => {
    const counter = tx.objectStore("phone").get("n")
    counter.onsuccess = () => {
      const made = Math.max(madeOf(counter.result, device), highest)
      tx.objectStore("phone").put({ value: 0, ...counter.result, key: "n", device, made })
    }
  })
}
