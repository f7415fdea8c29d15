/** The camera's light, where it has one. */

/** Show the button for a camera that has just started; its light is off. */
export function offerTorch(button, video) {
  const [track] = video.srcObject.getVideoTracks()
  button.parentElement.hidden = !track.getCapabilities?.().torch
  show(button, false)
  button.onclick = () => turn(button, track, button.getAttribute("aria-pressed") !== "true")
}

async function turn(button, track, isOn) {
  try {
    await track.applyConstraints({ advanced: [{ torch: isOn }] })
    show(button, isOn)
  } catch {
    // The light stays as it was, and so does the button.
  }
}

function show(button, isOn) {
  button.setAttribute("aria-pressed", String(isOn))
  button.querySelector("[data-part='torch-state']").textContent = isOn ? button.dataset.on : button.dataset.off
}
