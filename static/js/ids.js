/** Names that are made where something is made. */

/** A UUIDv7 (RFC 9562, 5.7): the time leads, and decides nothing. */
export function uuid7(now = Date.now(), random = crypto.getRandomValues(new Uint8Array(16))) {
  const bytes = Uint8Array.from(random)
  for (let place = 5, rest = now; place >= 0; place--, rest = Math.floor(rest / 256)) {
    bytes[place] = rest % 256
  }
  bytes[6] = (bytes[6] & 0x0f) | 0x70
  return written(bytes)
}

/** A UUIDv5 (RFC 9562, 5.5): the same name in the same namespace is the same everywhere. */
export async function uuid5(namespace, name) {
  const within = namespace.replaceAll("-", "").match(/../g).map((two) => parseInt(two, 16))
  const data = new Uint8Array([...within, ...new TextEncoder().encode(name)])
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-1", data)).slice(0, 16)
  bytes[6] = (bytes[6] & 0x0f) | 0x50
  return written(bytes)
}

export async function sha256(data) {
  return hex(new Uint8Array(await crypto.subtle.digest("SHA-256", data)))
}

function written(bytes) {
  bytes[8] = (bytes[8] & 0x3f) | 0x80
  const text = hex(bytes)
  const cuts = [[0, 8], [8, 12], [12, 16], [16, 20], [20, 32]]
  return cuts.map(([from, to]) => text.slice(from, to)).join("-")
}

export function hex(bytes) {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("")
}
