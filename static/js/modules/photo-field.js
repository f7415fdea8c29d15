/** Makes a photo small and keeps it on the phone at once; it is sent before the entry that names it. */
import { canKeep } from "../drafts.js"
import { photo } from "../entries.js"
import { keepPicture } from "../picture.js"

export function start(element) {
  if (!canKeep()) return // the form itself sends the file
  listen(element, element.querySelector("[type=file]"))
  for (const field of element.querySelectorAll(`[name="${CSS.escape(element.dataset.name)}"]`)) {
    show(element, field.value)
  }
}

// After a cancelled camera some browsers never open it again from the same field: it is made anew.
function listen(element, input) {
  const renew = () => {
    const fresh = input.cloneNode()
    fresh.value = ""
    input.replaceWith(fresh)
    listen(element, fresh)
  }
  input.addEventListener("cancel", renew)
  input.addEventListener("change", async () => {
    for (const file of [...input.files]) await take(element, file)
    renew()
  })
}

async function take(element, file) {
  const state = element.querySelector("[data-part='state']")
  const { dataset } = element
  state.textContent = dataset.sending
  try {
    const { name, small } = await keepPicture(file)
    const field = document.createElement("input")
    Object.assign(field, { type: "hidden", name: dataset.name, value: name })
    element.append(field)
    field.dispatchEvent(new Event("change", { bubbles: true })) // the draft names it from now on
    await show(element, name)
    state.textContent = small ? dataset.smaller : dataset.kept
  } catch (error) {
    state.textContent = error.name === "EncodingError" ? dataset.unread : dataset.lost
    console.error(error)
  }
}

async function show(element, name) {
  const found = await photo(name)
  if (!found) return // it was sent by another phone, or long ago
  const picture = document.createElement("img")
  picture.className = "photos__picture"
  picture.src = URL.createObjectURL(new Blob([found.bytes], { type: found.type }))
  picture.alt = element.dataset.kept
  element.append(picture)
}
