/* global RELEASE, FILES, PAGES -- the server writes these three before this file: web/offline.py */
/** Serves kept files where the network does not. It keeps whole releases only, and sends nothing. */

const CACHE = `walkaround-${RELEASE}`
const PATIENCE = 3000 // milliseconds for a page; then what is kept is better than nothing
const SILENT = new Set([502, 503, 504]) // so a proxy says that the server behind it is silent
const WAY = "/kept/way" // the page that finds out what another address would have shown
const UNITS = "/kept/units" // and the one for these, which the app opens with: no second page to load
const OF_UNITS = new Set(["/", "/board", "/defects", "/units"])
const ORDERS = { "take over": () => skipWaiting(), "take charge": () => clients.claim() }

addEventListener("install", (event) => event.waitUntil(install()))
addEventListener("activate", (event) => event.waitUntil(activate()))
addEventListener("message", (event) => event.waitUntil(ORDERS[event.data]?.()))
addEventListener("fetch", (event) => {
  const answer = answerTo(event.request)
  if (answer) event.respondWith(answer)
})
addEventListener("sync", (event) => event.waitUntil(wake()))

// All or nothing: one file that is not as it should be leaves the release before in charge.
async function install() {
  const isNew = !(await caches.has(CACHE))
  try {
    await keepAll(await caches.open(CACHE))
  } catch (error) {
    if (isNew) await caches.delete(CACHE) // else it would count as a release, and cost another its place
    throw error
  }
}

async function keepAll(cache) {
  const addresses = [...FILES, ...PAGES, ...(await listsBefore())]
  for (const address of addresses) await cache.put(address, await whole(address))
}

async function whole(address) {
  const answer = await fetch(address, { cache: "reload", redirect: "error" })
  if (answer.status !== 200 || answer.redirected) throw new Error(`${address}: ${answer.status}`)
  if (FILES.includes(address)) return ofItsKind(address, answer)
  const text = await answer.text()
  if (!text.includes(`data-release="${RELEASE}"`)) throw new Error(`${address}: another release`)
  return new Response(text, { headers: answer.headers })
}

// A gate on the way may answer with a page of its own, and call it a success.
function ofItsKind(address, answer) {
  const kind = address.endsWith(".js") ? /^(text|application)\/javascript\b/ : /^image\//
  if (!kind.test(answer.headers.get("Content-Type"))) throw new Error(`${address}: of another kind`)
  return answer
}

/** The pages of checklists that the release before had kept: a walk must be possible at once. */
async function listsBefore() {
  const names = (await caches.keys()).filter((name) => name.startsWith("walkaround-") && name !== CACHE)
  const found = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()))
  const paths = found.flat().map(({ url }) => new URL(url).pathname)
  return [...new Set(paths.filter((path) => /^\/kept\/(walkarounds|reports)\//.test(path)))]
}

// The release before stays: a page of it may still be open, and its modules come as they are needed.
async function activate() {
  const ours = (await caches.keys()).filter((name) => name.startsWith("walkaround-"))
  const old = ours.slice(0, -2).filter((name) => name !== CACHE)
  await Promise.all(old.map((name) => caches.delete(name)))
  await clients.claim()
}

function answerTo(request) {
  const { origin, pathname } = new URL(request.url)
  if (request.method !== "GET" || origin !== location.origin) return undefined
  if (pathname.startsWith("/static/")) return keptFirst(request)
  if (request.mode !== "navigate") return undefined
  const isShell = PAGES.includes(pathname) || pathname.startsWith("/kept/")
  return isShell ? keptFirst(request).catch(() => kept(WAY)) : page(request)
}

async function keptFirst(request) {
  return (await kept(request.url)) ?? fetch(request)
}

async function kept(address) {
  const cache = await caches.open(CACHE)
  const options = { ignoreSearch: true, ignoreVary: true }
  return (await cache.match(address, options)) ?? caches.match(address, options)
}

/** The server's page, whatever it says; after a silence the kept one. */
async function page(request) {
  const asked = fetch(request)
  const silence = new Promise((resolve) => setTimeout(resolve, PATIENCE))
  const answer = await Promise.race([asked, silence]).catch(() => undefined)
  if (answer && !SILENT.has(answer.status)) return answer
  return (await kept(OF_UNITS.has(new URL(request.url).pathname) ? UNITS : WAY)) ?? asked
}

/** A signal came back while nobody looks: an open page sends what waits. */
async function wake() {
  for (const client of await clients.matchAll()) client.postMessage("send")
}
