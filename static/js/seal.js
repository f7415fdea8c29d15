/** A PIN for the server's eyes alone: it opens only there, and only for this one entry. */

/** RSA-OAEP with SHA-256 over {"pin", "entry"}, base64url; `key` is the server's JWK. */
export async function sealPin(key, pin, entry) {
  const algorithm = { name: "RSA-OAEP", hash: "SHA-256" }
  const { kty, n, e } = key
  const open = await crypto.subtle.importKey("jwk", { kty, n, e }, algorithm, false, ["encrypt"])
  const words = new TextEncoder().encode(JSON.stringify({ pin, entry }))
  const sealed = await crypto.subtle.encrypt(algorithm, open, words)
  const text = btoa(String.fromCharCode(...new Uint8Array(sealed)))
  return text.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "")
}
