/** Says at once whether a number lies outside the limits; it never holds anybody up. */
export function start(element) {
  const input = element.querySelector("input")
  const judge = () => {
    tell(element, "outside", isOutside(input.value, element.dataset))
    tell(element, "fine", isTooFine(input.value, element.dataset))
  }
  input.addEventListener("input", judge)
  judge()
}

function tell(element, part, holds) {
  const words = element.querySelector(`[data-part='${part}']`)
  if (words) words.hidden = !holds
  element.toggleAttribute(`data-${part}`, holds)
}

/** A limit itself is still in order; what is no number is not judged. */
export function isOutside(typed, { low, high }) {
  const text = pointed(typed)
  const value = text === "" ? NaN : Number(text)
  return value < Number(low ?? -Infinity) || value > Number(high ?? Infinity)
}

/** Between two steps a number could lie outside the limits that stand there, and yet be in order. */
export function isTooFine(typed, { digits }) {
  const decimals = pointed(typed).split(".")[1] ?? ""
  return decimals.replace(/0+$/, "").length > Number(digits ?? Infinity)
}

function pointed(typed) {
  return typed.replace(",", ".").trim()
}
