/** Keeps the screen on while somebody walks; where a browser does not, nothing else changes. */
export function keepAwake(device = navigator, page = document) {
  const ask = () => {
    if (!page.hidden) device.wakeLock?.request("screen").catch(() => undefined)
  }
  page.addEventListener("visibilitychange", ask) // it ends whenever the page is out of sight
  ask()
}
