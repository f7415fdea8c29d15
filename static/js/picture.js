/** Photos made small: the long edge 1600 pixels, less where there is hardly any room left. */
import { keepPhoto } from "./entries.js"
import { holdBack, isFilling } from "./room.js"

const SIZES = [
  { longest: 1600, quality: 0.85 },
  { longest: 800, quality: 0.7 },
]

/**
 * Keep a picture and return {name, small}; raise EncodingError for what is none, and what the store
 * raises where nothing fits. What was held back for words and given up for some is held back again
 * first, or a photo would take it.
 */
export async function keepPicture(file) {
  if (!(await holdBack())) throw new DOMException("What is left is for words.", "QuotaExceededError")
  const [usual, least] = SIZES
  const tight = await isFilling()
  if (!tight) {
    const name = await keepAs(file, usual).catch(() => undefined) // then the smaller one may fit
    if (name) return { name, small: false }
  }
  return { name: await keepAs(file, least), small: true }
}

const keepAs = async (file, size) => keepPhoto(await smaller(file, size), "image/jpeg")

/** Drawn anew, a picture stands upright and says nothing of where it was taken. */
async function smaller(file, { longest, quality }) {
  const picture = await createImageBitmap(file).catch(notAPicture)
  const { width, height } = fitted(picture, longest)
  const canvas = new OffscreenCanvas(width, height)
  canvas.getContext("2d").drawImage(picture, 0, 0, width, height)
  picture.close()
  const made = await canvas.convertToBlob({ type: "image/jpeg", quality })
  return made.arrayBuffer()
}

function notAPicture({ message }) {
  throw new DOMException(message, "EncodingError") // the browser's own name for it is the store's, too
}

/** Return the size of a picture made to fit; it is never made larger. */
export function fitted({ width, height }, longest) {
  const scale = Math.min(1, longest / Math.max(width, height))
  return { width: Math.round(width * scale), height: Math.round(height * scale) }
}
