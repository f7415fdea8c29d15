/** Says how old what stands here is, and leads back to the server's own page. */
import { put } from "./template.js"
import { length, moment } from "./times.js"

export function showAge(root, { at, age, known, there }) {
  const line = root.querySelector("[data-part='heard']")
  const when = moment(at, known)
  const sentence = Number.isFinite(age) ? put(line.dataset.heard, { when, age: words(line, age) }) : put(line.dataset.doubtful, { when })
  line.querySelector("[data-part='age']").textContent = sentence
  line.querySelector("[data-part='again']").href = there
}

function words({ dataset }, age) {
  const { n, unit } = length(age)
  return put(dataset[unit], { n })
}

/** Since when a line stands, as the office tells it; of what was found here, when it was kept. */
export const sinceOf = ({ since, at }, { dataset }, known) => since ?? put(dataset.here, { when: moment(at, known) })
