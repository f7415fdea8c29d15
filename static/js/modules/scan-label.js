/** Finds a label in the picture of the camera and leads to its unit. */
import { closeCamera, eachPicture, hasCamera, isAllowed, openCamera } from "./scan-camera.js"
import { makeReader } from "./scan-reader.js"
import { labelPath, shortened } from "./scan-reading.js"
import { offerTorch } from "./scan-torch.js"

const WHY = { NotAllowedError: "refused", NotFoundError: "noCamera", OverconstrainedError: "noCamera" }

export async function start(element) {
  const read = await makeReader(globalThis.BarcodeDetector, element.dataset.decoder)
  if (!read) return say(element, "noReader")
  if (!hasCamera()) return say(element, globalThis.isSecureContext ? "noCamera" : "noSecureLine")
  const scan = { element, read, video: part(element, "picture"), isWanted: false, isOpening: false }
  part(element, "start").addEventListener("click", () => open(scan))
  listen(scan)
  if (await isAllowed()) open(scan)
  else showButton(element, "start", true)
}

/** The camera never runs while nobody looks at the page. */
function listen(scan) {
  const back = () => scan.isWanted && !document.hidden && open(scan)
  addEventListener("pagehide", () => close(scan))
  addEventListener("pageshow", back)
  document.addEventListener("visibilitychange", () => (document.hidden ? close(scan) : back()))
}

async function open(scan) {
  if (scan.isOpening || scan.video.srcObject) return
  scan.isOpening = scan.isWanted = true
  try {
    await openCamera(scan.video)
    run(scan)
  } catch (error) {
    giveUp(scan, WHY[error.name] ?? "noStart")
  }
  scan.isOpening = false
  if (document.hidden) close(scan) // it was put away while the camera started
}

function run(scan) {
  const { element, video } = scan
  video.hidden = false
  showButton(element, "start", false)
  say(element, "looking")
  offerTorch(part(element, "torch"), video)
  eachPicture(video, (picture) => look(scan, picture))
}

async function look(scan, picture) {
  const texts = await scan.read(picture).catch(() => giveUp(scan, "noReader"))
  if (!texts?.length || !scan.video.srcObject) return // nothing there, or put away meanwhile
  const path = texts.map((text) => labelPath(text, location.origin)).find(Boolean)
  if (path) lead(scan, path)
  else say(scan.element, "foreign", shortened(texts[0]))
}

function lead(scan, path) {
  close(scan)
  navigator.vibrate?.(200)
  say(scan.element, "found")
  location.assign(path)
}

function giveUp(scan, why) {
  scan.isWanted = false
  close(scan)
  say(scan.element, why)
  showButton(scan.element, "start", why === "refused" || why === "noStart") // else another tap is in vain
}

function close({ element, video }) {
  closeCamera(video)
  video.hidden = true
  showButton(element, "torch", false)
}

function say(element, name, read = "") {
  const words = element.dataset[name].replace("{read}", () => read)
  const state = part(element, "state")
  if (state.textContent !== words) state.textContent = words // once, not at every picture
}

function showButton(element, name, isShown) {
  part(element, name).parentElement.hidden = !isShown
}

const part = (element, name) => element.querySelector(`[data-part='${name}']`)
