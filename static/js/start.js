const LATE = new Set(["photo-field", "this-phone"]) // on a poor line nobody waits for these

/** Starts what a page asks for: data-module="number-pad" is modules/number-pad.js. */
export async function startWithin(root) {
  const found = [...root.querySelectorAll("[data-module]:not([data-started])")]
  for (const element of found) element.dataset.started = ""
  const isLate = ({ dataset }) => LATE.has(dataset.module)
  await Promise.all(found.filter((element) => !isLate(element)).map(startOne))
  await Promise.all(found.filter(isLate).map(startOne))
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
  import("./install-offer.js") // the browser makes its offer early, and once
  startWithin(document)
}
