/** Starts what a page asks for: data-module="number-pad" is modules/number-pad.js. */
export function startWithin(root) {
  for (const element of root.querySelectorAll("[data-module]:not([data-started])")) {
    element.dataset.started = ""
    startOne(element)
  }
}

async function startOne(element) {
  const name = element.dataset.module
  if (!/^[a-z]+(-[a-z]+)*$/.test(name)) return
  try {
    const module = await import(`./modules/${name}.js`)
    await module.start(element)
  } catch (error) {
    console.error(name, error) // the plain page goes on working
  }
}

if (globalThis.document) {
  startWithin(document)
  import("./install-offer.js") // the browser makes its offer early, and once
}
