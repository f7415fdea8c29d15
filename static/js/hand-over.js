/** What waits, as a file for the day that the phone must go; it stays on the phone as well. */
import { entries, photo } from "./entries.js"

export async function handOver() {
  const all = await entries()
  const names = [...new Set(all.flatMap((record) => record.photos))]
  const { records, photos } = unsent(all, (await Promise.all(names.map(photo))).filter(Boolean))
  const text = JSON.stringify(fileOf(records, photos), null, 1)
  const link = document.createElement("a")
  link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }))
  link.download = `walkaround-${new Date().toISOString().slice(0, 10)}.json`
  link.click()
}

/** Entries that were not sent with their photos, and photos that wait though their entry was sent. */
export function unsent(all, photos) {
  const records = all.filter(({ state }) => state !== "sent").sort((a, b) => a.n - b.n)
  const named = new Set(records.flatMap((record) => record.photos))
  return { records, photos: photos.filter(({ sha256, state }) => state !== "sent" || named.has(sha256)) }
}

/** The file's content: entries as they would be sent, and photos in base64 by their names. */
export function fileOf(records, photos) {
  return {
    entries: records.map(({ entry, by, sealed }) => ({
      ...entry,
      ...(sealed ? { signer: { crew_number: by, sealed_pin: sealed } } : { by }),
    })),
    photos: Object.fromEntries(photos.map(({ sha256, bytes }) => [sha256, base64(bytes)])),
  }
}

function base64(bytes) {
  const all = new Uint8Array(bytes)
  const parts = []
  for (let at = 0; at < all.length; at += 30_000) parts.push(String.fromCharCode(...all.subarray(at, at + 30_000)))
  return btoa(parts.join(""))
}
