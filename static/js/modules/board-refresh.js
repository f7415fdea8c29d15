/** Keeps the board as the server has it, without taking the reader's place away. */
const PAUSE = 15_000
const PATIENCE = 10_000

export function start(element) {
  const board = { element, content: element.querySelector("[data-part=content]") }
  board.tag = `W/"${element.dataset.tag}"`
  let busy = false
  const look = async () => {
    if (document.hidden || busy) return
    busy = true
    await refresh(board).finally(() => { busy = false })
  }
  say(board, true)
  setInterval(look, PAUSE)
  document.addEventListener("visibilitychange", look)
  addEventListener("online", look)
}

async function refresh(board) {
  try {
    const answer = await ask(board.tag)
    if (answer.status === 200) show(board, answer)
    say(board, [200, 304].includes(answer.status))
  } catch {
    say(board, false)
  }
}

/** The browser reads the page itself: no text of ours ever becomes markup. */
function ask(tag) {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest()
    request.open("GET", location.href)
    request.responseType = "document"
    request.timeout = PATIENCE
    request.setRequestHeader("If-None-Match", tag)
    request.onload = () => resolve(request)
    request.onerror = request.ontimeout = reject
    request.send()
  })
}

function show(board, answer) {
  const fresh = answer.response?.querySelector("[data-part=content]")
  if (!fresh) return location.reload() // signed out meanwhile: the page itself leads to the sign-in
  board.tag = answer.getResponseHeader("ETag") ?? ""
  if (fresh.innerHTML !== board.content.innerHTML) replace(board.content, fresh)
}

function replace(content, fresh) {
  const focused = content.contains(document.activeElement) && document.activeElement.getAttribute("href")
  const before = scrollY > 0 ? places(content) : [] // who reads the top wants to see what is new there
  content.replaceChildren(...document.importNode(fresh, true).childNodes)
  scrollBy({ top: moved(before, places(content), innerHeight), behavior: "instant" })
  if (focused) linkTo(content, focused)?.focus({ preventScroll: true })
}

/** Where each unit stands in the window, as a row or as its number alone, and under which plate. */
function places(content) {
  return [...content.querySelectorAll(".row__link, .numbers__link")].map((link) => {
    const { top, bottom } = link.closest("li").getBoundingClientRect()
    const plate = link.closest("section").querySelector(".plate")
    return { name: `${link.getAttribute("href")} ${plate?.className}`, top, bottom }
  })
}

/** How far the first row in the window that stayed under its plate has moved. */
export function moved(before, after, height) {
  const tops = new Map(after.map((row) => [row.name, row.top]))
  const seen = before.filter((row) => row.top >= 0 && row.bottom <= height && tops.has(row.name))
  const first = seen.sort((a, b) => a.top - b.top)[0]
  return first ? tops.get(first.name) - first.top : 0
}

function linkTo(content, address) {
  return [...content.querySelectorAll("a")].find((link) => link.getAttribute("href") === address)
}

function say(board, heard) {
  if (heard) board.at = new Date()
  const { dataset } = board.element
  const place = board.element.querySelector("[data-part=heard]")
  const clock = { timeZone: dataset.zone, timeStyle: "medium", hourCycle: "h23" }
  const time = board.at.toLocaleTimeString(document.documentElement.lang, clock)
  place.textContent = (heard ? dataset.heard : dataset.silent).replace("{time}", time)
  place.role = heard ? null : "alert" // nobody wants to hear every quarter of a minute that all is well
  place.parentElement.classList.toggle("notice", !heard)
  place.parentElement.classList.toggle("notice--strong", !heard)
}
