/** The only way out: everything that is sent by scripts goes through here. */
const PATIENCE = 20_000 // milliseconds; a photo may take longer
const API = { redirect: "error", cache: "no-store", credentials: "same-origin" }

/** What came back: a status, the JSON if it is JSON, and how long to wait if the server says so. */
export async function ask(address, { method = "GET", body, headers = {}, patience = PATIENCE } = {}) {
  const signal = AbortSignal.timeout(patience)
  const answer = await fetch(address, { ...API, method, body, headers, signal })
  const isJson = /\bjson\b/.test(answer.headers.get("Content-Type") ?? "")
  return {
    status: answer.status,
    json: isJson && answer.status !== 304 ? await answer.json() : undefined,
    tag: answer.headers.get("ETag"),
    date: Date.parse(answer.headers.get("Date")),
    retryAfter: Number(answer.headers.get("Retry-After")) * 1000 || 0,
  }
}

export const me = (patience) => ask("/api/v1/me", { patience })

export function post(address, content, token) {
  const headers = { "Content-Type": "application/json", "X-CSRF-Token": token }
  return ask(address, { method: "POST", body: JSON.stringify(content), headers, patience: 60_000 })
}

export function put(address, body, token) {
  return ask(address, { method: "PUT", body, headers: { "X-CSRF-Token": token }, patience: 120_000 })
}

/** A page as it is now, whole, from our own server, and no other one in its place. */
export async function page(address) {
  const answer = await fetch(address, { ...API, signal: AbortSignal.timeout(60_000) })
  const isPage = /^text\/html\b/.test(answer.headers.get("Content-Type") ?? "")
  if (answer.status !== 200 || answer.redirected || !isPage) throw new Error(`${address}: no page`)
  return answer
}
