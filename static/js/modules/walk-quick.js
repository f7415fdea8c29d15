/** Names what was answered faster than anybody reads it: a tap too many looks just so. */
const READING = 1000 // milliseconds
const MOST = 5 // more of them were no slip; the board says that the whole walk was quick

export function isQuick(answered, shown) {
  return answered - shown < READING
}

/** Lists those steps on the last one; whoever follows a link comes back from there by answering. */
export function nameQuick(last, steps) {
  const box = last.querySelector("[data-part='quick']")
  const quick = steps.filter((step) => "quick" in step.dataset)
  for (const step of quick) step.dataset.error = ""
  box.querySelector("ul").replaceChildren(...quick.slice(0, MOST).map(entry))
  box.hidden = quick.length === 0
}

function entry(step) {
  const item = document.createElement("li")
  const link = document.createElement("a")
  link.className = "errors__link"
  link.href = `#${step.id}`
  link.textContent = step.querySelector(".step__look").textContent
  item.append(link)
  return item
}
