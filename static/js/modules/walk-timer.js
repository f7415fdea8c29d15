/** A clock to wait for; the sentence stays, and nothing is locked until it is over. */
export function start(element) {
  const { seconds, start: word, over } = element.dataset
  const button = document.createElement("button")
  const left = document.createElement("strong")
  button.type = "button"
  button.className = "button button--small"
  button.textContent = word
  left.className = "timer__left"
  left.setAttribute("role", "timer")
  element.append(button, left)
  button.addEventListener("click", () => run(left, Number(seconds), over))
}

function run(left, seconds, over) {
  const end = performance.now() + seconds * 1000
  clearInterval(left.ticking)
  const tick = () => {
    const rest = Math.ceil((end - performance.now()) / 1000)
    left.textContent = rest > 0 ? clockText(rest) : over
    if (rest > 0) return
    clearInterval(left.ticking)
    left.setAttribute("role", "alert")
    navigator.vibrate?.(400)
  }
  left.ticking = setInterval(tick, 250)
  tick()
}

/** Return seconds as a clock shows them, like 1:20. */
export function clockText(seconds) {
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`
}
