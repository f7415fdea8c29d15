/** Makes a photo small and sends it at once, so that the form itself stays light. */
import { put } from "../http.js"

const LONGEST = 1600 // pixels

export function start(element) {
  if (!globalThis.crypto?.subtle) return // no secure line: the form sends the file itself
  const input = element.querySelector("[type=file]")
  input.addEventListener("change", async () => {
    const state = element.querySelector("[data-part='state']")
    for (const file of [...input.files]) {
      state.textContent = element.dataset.sending
      try {
        const photo = await smaller(file)
        keep(element, input, await sent(photo, element.closest("form")), photo)
        state.textContent = element.dataset.kept
      } catch {
        state.textContent = element.dataset.later // it goes with the form
      }
    }
  })
}

async function sent(photo, form) {
  const data = await photo.arrayBuffer()
  const name = hex(await crypto.subtle.digest("SHA-256", data))
  await put(`/api/v1/photos/${name}`, data, form.elements.csrf_token.value)
  return name
}

function keep(element, input, name, photo) {
  const field = document.createElement("input")
  const picture = document.createElement("img")
  field.type = "hidden"
  field.name = element.dataset.name
  field.value = name
  picture.className = "photos__picture"
  picture.src = URL.createObjectURL(photo)
  picture.alt = element.dataset.kept
  element.append(field, picture)
  input.value = ""
}

async function smaller(file) {
  const picture = await createImageBitmap(file)
  const { width, height } = fitted(picture, LONGEST)
  const canvas = new OffscreenCanvas(width, height)
  canvas.getContext("2d").drawImage(picture, 0, 0, width, height)
  return canvas.convertToBlob({ type: "image/jpeg", quality: 0.85 })
}

/** Return the size of a picture made to fit; it is never made larger. */
export function fitted({ width, height }, longest) {
  const scale = Math.min(1, longest / Math.max(width, height))
  return { width: Math.round(width * scale), height: Math.round(height * scale) }
}

export function hex(buffer) {
  return [...new Uint8Array(buffer)].map((byte) => byte.toString(16).padStart(2, "0")).join("")
}
