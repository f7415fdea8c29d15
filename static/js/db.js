/** What the phone keeps. Nothing else touches IndexedDB; a write is done when it is on the disk. */
const NAME = "walkaround"
const VERSION = 1
const STORES = { draft: "name", entry: "id", photo: "sha256", heard: "key", phone: "key" }
const LOST = new Set(["InvalidStateError", "UnknownError", "TransactionInactiveError"])

let opened

export const isThere = () => Boolean(globalThis.indexedDB)

export const get = (store, key) => transact([store], "readonly", (tx) => tx.objectStore(store).get(key))

/** Whether a row is there, without reading what may be a megabyte. */
export async function has(store, key) {
  const count = await transact([store], "readonly", (tx) => tx.objectStore(store).count(key))
  return count > 0
}

export const all = (store) => transact([store], "readonly", (tx) => tx.objectStore(store).getAll())

export const put = (store, value) => change([store], (tx) => tx.objectStore(store).put(value))

export const remove = (store, key) => change([store], (tx) => tx.objectStore(store).delete(key))

/** Do several writes in one transaction, which keeps all of them or none. */
export const change = (stores, work) => transact(stores, "readwrite", work)

/** Say whether this browser writes to the disk when it is asked to; older ones do not tell. */
export async function isStrict() {
  const db = await open()
  return db.transaction(["phone"], "readwrite", { durability: "strict" }).durability === "strict"
}

// A browser in the background may lose its database; the handle stays dead, so a new one is opened.
async function transact(stores, mode, work) {
  try {
    return await run(await open(), stores, mode, work)
  } catch (error) {
    if (!LOST.has(error.name)) throw error
    await drop()
    return run(await open(), stores, mode, work)
  }
}

function run(db, stores, mode, work) {
  return new Promise((resolve, reject) => {
    const tx = db.transaction(stores, mode, { durability: "strict" })
    const made = work(tx)
    tx.oncomplete = () => resolve(made?.result)
    // On a full disk every request succeeds, and then the whole transaction is undone.
    tx.onabort = () => reject(tx.error ?? new DOMException("It was not kept.", "AbortError"))
  })
}

function open() {
  opened ??= openAt(VERSION).catch((error) => {
    if (error.name === "VersionError") return openAt() // a newer release was here: it kept our rows
    opened = undefined
    throw error
  })
  return opened
}

function openAt(version) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, version)
    request.onupgradeneeded = () => upgrade(request.result)
    request.onerror = () => reject(request.error)
    request.onblocked = () => dispatchEvent(new Event("walkaround:blocked"))
    request.onsuccess = () => {
      request.result.onversionchange = drop // a newer page wants to upgrade
      request.result.onclose = drop
      resolve(request.result)
    }
  })
}

/** Stores are only ever added: what waits to be sent outlives every release. */
function upgrade(db) {
  for (const [store, keyPath] of Object.entries(STORES)) {
    if (!db.objectStoreNames.contains(store)) db.createObjectStore(store, { keyPath })
  }
}

async function drop() {
  const before = opened
  opened = undefined
  const db = await before?.catch(() => undefined)
  db?.close()
}
