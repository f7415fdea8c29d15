/** Says at once whether a number lies outside the limits; it never holds anybody up. */
export function start(element) {
  const input = element.querySelector("input")
  const words = element.querySelector("[data-part='outside']")
  const judge = () => {
    const outside = isOutside(input.value, element.dataset)
    words.hidden = !outside
    element.toggleAttribute("data-outside", outside)
  }
  input.addEventListener("input", judge)
  judge()
}

/** A limit itself is still in order; what is no number is not judged. */
export function isOutside(typed, { low, high }) {
  const text = typed.replace(",", ".").trim()
  const value = text === "" ? NaN : Number(text)
  return value < Number(low ?? -Infinity) || value > Number(high ?? Infinity)
}
