/** The worker's way out: it hands everything back to the network and goes; what waits stays. */
addEventListener("install", () => skipWaiting())
addEventListener("activate", (event) => event.waitUntil(leave()))

async function leave() {
  const ours = (await caches.keys()).filter((name) => name.startsWith("walkaround-"))
  await Promise.all(ours.map((name) => caches.delete(name)))
  await registration.unregister()
}
