/** As much of IndexedDB as db.js asks for, in memory: a transaction keeps all of its writes or none. */
export class Disk {
  version = 0
  stores = new Map() // name -> {keyPath, rows}
  opened = 0
  durability = [] // what each transaction that writes asked for
  isFull = false
  isLost = false // the next transaction finds its handle dead

  /** Take the place of the browser's own, with its events. */
  install() {
    const window = new EventTarget()
    const own = { indexedDB: this, addEventListener: window.addEventListener.bind(window) }
    Object.assign(globalThis, own, { dispatchEvent: window.dispatchEvent.bind(window) })
    return this
  }

  rows = (store) => [...this.stores.get(store).rows.values()]

  open(_name, wanted = this.version) {
    const request = {}
    queueMicrotask(() => this.#answer(request, wanted))
    return request
  }

  #answer(request, wanted) {
    if (wanted < this.version) {
      request.error = new DOMException("newer", "VersionError")
      return request.onerror()
    }
    request.result = this.#handle()
    if (wanted > this.version) request.onupgradeneeded()
    this.version = wanted
    this.opened += 1
    request.onsuccess()
  }

  #handle() {
    return {
      objectStoreNames: { contains: (name) => this.stores.has(name) },
      createObjectStore: (name, { keyPath }) => this.stores.set(name, { keyPath, rows: new Map() }),
      transaction: (names, mode, { durability }) => this.#begin(mode, durability),
      close: () => {},
    }
  }

  #begin(mode, durability) {
    if (this.isLost) {
      this.isLost = false
      throw new DOMException("closing", "InvalidStateError")
    }
    if (mode === "readwrite") this.durability.push(durability)
    const before = structuredClone(this.stores)
    const asked = []
    const tx = { durability, objectStore: (name) => this.#store(name, asked) }
    setImmediate(() => this.#end(tx, asked, before, mode))
    return tx
  }

  #store(name, asked) {
    const { keyPath, rows } = this.stores.get(name)
    const ask = (work) => asked[asked.push({ work }) - 1]
    return {
      get: (key) => ask(() => structuredClone(rows.get(key))),
      count: (key) => ask(() => Number(rows.has(key))),
      getAll: () => ask(() => structuredClone([...rows.values()])),
      put: (row) => ask(() => rows.set(row[keyPath], structuredClone(row))),
      delete: (key) => ask(() => rows.delete(key)),
      clear: () => ask(() => rows.clear()),
    }
  }

  // Every request succeeds, also on a full disk; only then is all of it undone.
  #end(tx, asked, before, mode) {
    for (const request of asked) {
      request.result = request.work()
      request.onsuccess?.()
    }
    if (!this.isFull || mode !== "readwrite") return tx.oncomplete?.()
    this.stores = before
    tx.error = new DOMException("full", "QuotaExceededError")
    tx.onabort?.()
  }
}
