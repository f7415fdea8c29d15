/** A walk's form without a browser: its fields as pairs, its steps as what they ask for. */
import { recordOf } from "../../static/js/walk-record.js"

globalThis.FormData = class {
  constructor({ pairs }) {
    this[Symbol.iterator] = () => pairs[Symbol.iterator]()
  }
}
globalThis.CSS = { escape: (text) => text }

/** Return the record that a phone keeps of a walk that ends `now`; `steps` are {item, stored}. */
export function made({ pairs, dataset, steps, ...walk }) {
  Date.now = () => walk.now
  return recordOf({ ...walk, form: { pairs, dataset }, steps: steps.map(stepOf) })
}

/** One step as the scripts look at it; what was found is called by its name. */
export function stepOf({ item, stored, look = item }) {
  const parts = {
    "[data-stored]": stored && { dataset: { stored: JSON.stringify(stored) } },
    ".step__look": { textContent: look },
  }
  const label = (name) => ({ closest: () => ({ textContent: name }) })
  const querySelector = (wanted) => (wanted in parts ? parts[wanted] : label(/"(.*)"/.exec(wanted)[1]))
  return { dataset: { item }, querySelector }
}
