/** The phone's camera: started, looked through one picture at a time, let go. */
import { middle } from "./scan-reading.js"

const WANTED = { video: { facingMode: "environment", width: { ideal: 1280 } } }

export const hasCamera = () => Boolean(navigator.mediaDevices?.getUserMedia)

/** Say whether the camera may be started without asking; not every browser tells. */
export async function isAllowed() {
  try {
    return (await navigator.permissions.query({ name: "camera" })).state === "granted"
  } catch {
    return false
  }
}

export async function openCamera(video) {
  video.srcObject = await navigator.mediaDevices.getUserMedia(WANTED)
  await video.play()
}

export function closeCamera(video) {
  for (const track of video.srcObject?.getTracks() ?? []) track.stop()
  video.srcObject = null
}

/** Give one picture after another to `look`, the next only when it is done with the last. */
export function eachPicture(video, look) {
  const stream = video.srcObject
  const canvas = document.createElement("canvas")
  const step = async () => {
    if (video.srcObject !== stream) return
    if (video.videoWidth) await look(picture(video, canvas))
    next(video, step)
  }
  next(video, step)
}

function next(video, step) {
  if (video.requestVideoFrameCallback) video.requestVideoFrameCallback(step)
  else requestAnimationFrame(step)
}

function picture(video, canvas) {
  const { x, y, side, size } = middle(video.videoWidth, video.videoHeight)
  if (canvas.width !== size) canvas.width = canvas.height = size
  const context = canvas.getContext("2d", { willReadFrequently: true })
  context.drawImage(video, x, y, side, side, 0, 0, size, size)
  return context.getImageData(0, 0, size, size)
}
