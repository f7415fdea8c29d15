
/** Puts large keys under a number; the field itself stays as it is. */
export function start(element) {
  const input = element.querySelector("input")
  input.inputMode = "none" // the phone's own keyboard would cover ours
  element.append(keys(element, input))
}

function keys(element, input) {
  const box = document.createElement("div")
  box.className = "number-pad__keys"
  const point = element.dataset.kind === "decimal" ? pointOf(document.documentElement.lang) : ""
  const last = key("⌫", element.dataset.delete, () => write(input, input.value.slice(0, -1)))
  const row = (...words) => words.map((word) => digit(word, input))
  box.append(...row("1", "2", "3"), last, ...row("4", "5", "6"))
  box.append(...(point ? row(point, "7", "8", "9", "0") : row("0", "7", "8", "9")))
  if (!point) box.children[7].classList.add("number-pad__key--high")
  return box
}

function digit(word, input) {
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

export function pointOf(language) {
  const parts = new Intl.NumberFormat(language || "en").formatToParts(1.5)
  return parts.find((part) => part.type === "decimal").value
}
