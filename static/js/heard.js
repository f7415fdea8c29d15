/** What the phone last heard of the site, and when. */
import { aheadBy } from "./clock.js"
import * as db from "./db.js"
import { ask, page } from "./http.js"

const SITE = "site"
const UNIT = "unit:"

/** Ask the server how everything stands; say whether it answered. */
export async function hear() {
  const before = await db.get("heard", SITE)
  const headers = before?.tag ? { "If-None-Match": before.tag } : {}
  const at = Date.now() // what is sent while the answer is on its way may not be in it
  const answer = await ask("/api/v1/kept", { headers })
  const ahead = aheadBy(answer.date, at, Date.now())
  if (answer.status === 401 && before) await signOut(before)
  if (answer.status === 304 && before) await db.put("heard", { ...before, at, ahead })
  else if (answer.status === 200 && answer.json?.units) await take(answer, { at, ahead })
  else return false
  await db.put("phone", { key: "latest", value: Date.now() }) // a clock that was wrong is forgiven
  return true
}

// Without the tag, the next answer comes whole and says again who is signed in.
const signOut = (before) => db.put("heard", { ...before, signed_in: null, tag: null })

function take({ json: { units, ...site }, tag }, heardAt) {
  return db.change(["heard"], (tx) => {
    const heard = tx.objectStore("heard")
    heard.clear()
    heard.put({ ...site, key: SITE, tag, ...heardAt })
    for (const unit of units) heard.put({ ...unit, key: UNIT + unit.number })
  })
}

export const site = () => db.get("heard", SITE)

export const unit = (number) => db.get("heard", UNIT + number)

export async function units() {
  return (await db.all("heard")).filter(({ key }) => key.startsWith(UNIT))
}

/** The unit whose number was typed, however its letters and spaces were. */
export async function unitLike(typed) {
  const plain = (text) => text.replaceAll(/\s/g, "").toLowerCase()
  return (await units()).find(({ number }) => plain(number) === plain(typed))
}

/** Keep the pages that the site's units need, all of one release and in one language. */
export async function keepPages({ pages, language, release }, ours, used = []) {
  const name = `walkaround-${release}`
  if (release !== ours || !(await isWhole(name))) return // a new release brings its own
  const cache = await caches.open(name)
  const before = await db.get("phone", "pages")
  const same = before?.language === language && before.release === release
  const there = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname))
  if (there.size === 0) return caches.delete(name) // taken away just now: opening made it anew
  for (const address of pages.filter((one) => !(same && there.has(decodeURI(one))))) {
    await cache.put(address, await ourPage(`${address}?lang=${language}`, release))
  }
  const over = [...there].filter((path) => isList(path) && ![...pages, ...used].includes(path))
  await Promise.all(over.map((path) => cache.delete(path)))
  await db.put("phone", { key: "pages", language, release })
}

// A worker keeps this page last; to open the cache before would break what it is doing.
const isWhole = (cacheName) =>
  globalThis.caches?.match("/scan", { cacheName, ignoreSearch: true, ignoreVary: true })

// A page of another release asks for other files; what stands in its place may be anybody's.
async function ourPage(address, release) {
  const answer = await page(address)
  const text = await answer.text()
  if (!text.includes(`data-release="${release}"`)) throw new Error(`${address}: another release`)
  return new Response(text, { headers: answer.headers })
}

const isList = (path) => /^\/kept\/(walkarounds|reports)\//.test(path)
