/** As much of a browser's caches as the scripts ask for, in memory: a body that is cut keeps nothing. */
export class Shelf {
  #caches = new Map() // name -> pages by address

  constructor(origin) {
    this.origin = origin
  }

  keys = async () => [...this.#caches.keys()]

  has = async (name) => this.#caches.has(name)

  delete = async (name) => this.#caches.delete(name)

  async open(name) {
    if (!this.#caches.has(name)) this.#caches.set(name, new Map())
    const pages = this.#caches.get(name)
    const address = (one) => new URL(one.url ?? one, this.origin).href
    return {
      keys: async () => [...pages.keys()].map((url) => ({ url })),
      match: async (one) => found(pages, address(one))?.clone(),
      put: async (one, answer) => pages.set(address(one), await whole(answer)),
      delete: async (one) => pages.delete(address(one)),
    }
  }

  async match(one, { cacheName } = {}) {
    const named = [...this.#caches].filter(([name]) => cacheName === undefined || name === cacheName)
    for (const [, pages] of named) {
      const answer = found(pages, new URL(one.url ?? one, this.origin).href)
      if (answer) return answer.clone()
    }
    return undefined
  }

  paths = (name) => [...(this.#caches.get(name)?.keys() ?? [])].map((url) => new URL(url).pathname)

  /** Return the words that are kept at an address. */
  words = (name, path) => this.#caches.get(name)?.get(this.origin + path)?.clone().text()
}

const found = (pages, address) => pages.get(address) ?? pages.get(address.split("?")[0])

async function whole(answer) {
  const { status, headers } = answer
  return new Response(await answer.arrayBuffer(), { status, headers })
}
