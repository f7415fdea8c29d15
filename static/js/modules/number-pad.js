
// Row by row; those of two rows leave their place below them free.
const FACES = { decimal: "123<456.7890", pin: "123<4560789", signed: "123<-456.0789" }
const HIGH = { decimal: "", pin: "0", signed: ".0" }

/** Puts large keys under a number; the field itself stays as it is. */
export function start(element) {
  const input = element.querySelector("input")
  input.inputMode = "none" // the phone's own keyboard would cover ours
  element.append(keys(element, input))
}

function keys(element, input) {
  const { kind } = element.dataset
  const box = document.createElement("div")
  box.className = `number-pad__keys number-pad__keys--${kind}`
  for (const face of FACES[kind]) {
    const made = faced(face, element, input)
    made.classList.toggle("number-pad__key--high", HIGH[kind].includes(face))
    box.append(made)
  }
  return box
}

function faced(face, element, input) {
  const { delete: last, minus } = element.dataset
  if (face === "<") return key("⌫", last, () => write(input, input.value.slice(0, -1)))
  if (face === "-") return key("−", minus, () => write(input, turned(input.value)))
  const word = face === "." ? pointOf(document.documentElement.lang) : face
  return key(word, "", () => write(input, add(input.value, word)))
}

function key(word, label, press) {
  const button = document.createElement("button")
  button.type = "button"
  button.className = "number-pad__key"
  button.textContent = word
  if (label) button.setAttribute("aria-label", label)
  button.addEventListener("click", press)
  return button
}

function write(input, text) {
  input.value = text
  input.dispatchEvent(new Event("input", { bubbles: true }))
}

/** A second decimal point is not taken. */
export function add(text, word) {
  return /[.,]/.test(word) && /[.,]/.test(text) ? text : text + word
}

/** Below zero or above it; pressed before the number or after it. */
export function turned(text) {
  return text.startsWith("-") ? text.slice(1) : `-${text}`
}

export function pointOf(language) {
  const parts = new Intl.NumberFormat(language || "en").formatToParts(1.5)
  return parts.find((part) => part.type === "decimal").value
}
