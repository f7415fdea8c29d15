/** Fills a walk that fits any unit with what the phone last heard of this one, and starts it. */
import { officeTime } from "../clock.js"
import { choices } from "../covering.js"
import { draftOf } from "../drafts.js"
import { site, unit } from "../heard.js"
import { isSignedIn, offerSigner } from "../signer.js"
import { clone } from "../template.js"
import { start as walk } from "./walk.js"

export async function start(form) {
  const number = new URLSearchParams(location.search).get("unit")
  const [known, found] = await Promise.all([site(), unit(number)])
  if (!known || !found) return location.replace("/kept/units")
  const began = await draftOf(number, form.elements.checklist.value)
  const now = officeTime(known, began?.started_at)
  name(form, found)
  Object.assign(form.dataset, {
    unit: number,
    by: began?.by ?? byOf(known, now),
    shifts: JSON.stringify(known.shifts),
    hours: found.hours ?? "",
    hoursAt: found.hours_at,
  })
  form.elements.seen.value = `${found.seq}:${found.hash}`
  shifts(form, choices(known.shifts, now), known)
  looks(form, found)
  for (const step of form.querySelectorAll("[data-item]")) stands(form, step, found, now)
  renumber(form)
  offerSigner(form, known)
  await walk(form)
}

const byOf = ({ signed_in }, now) => (isSignedIn(signed_in, now) ? signed_in.crew_number : "")

function name(form, { number, title }) {
  document.querySelector("[data-part='number']").textContent = number
  document.querySelector("[data-part='title']").textContent = title
  document.title += ` - ${number}`
  document.querySelector("[data-part='leave']").href = `/kept/unit?unit=${encodeURIComponent(number)}`
}

/** Let the shift be chosen where two are near; whoever ends a shift does so in the one that is on. */
function shifts(form, near, { zone }) {
  const found = form.dataset.occasion === "start_of_shift" ? near : near.slice(-1)
  form.elements.for_shift.value = found[0]?.start ?? ""
  if (found.length < 2) return
  const clock = new Intl.DateTimeFormat(document.documentElement.lang, { timeZone: zone, timeStyle: "short", hourCycle: "h23" })
  const group = clone(form, "shifts", {})
  const choice = group.querySelector(".choice")
  choice.replaceWith(...found.map(({ start, end }, place) => {
    const made = choice.cloneNode(true)
    const input = made.querySelector("input")
    Object.assign(input, { value: start, checked: place === 0 })
    const words = made.querySelector("span")
    words.textContent = words.textContent.replace("{start}", clock.format(start)).replace("{end}", clock.format(end))
    return made
  }))
  form.elements.for_shift.replaceWith(group)
}

function looks(form, found) {
  const place = form.querySelector("[data-part='next']")
  for (const { clear, work, things } of found.looks.filter(({ mine }) => !mine)) {
    place.before(clone(form, "look", { clear, work, things: things.join("; ") }))
  }
}

/** Take away what is not due, and show what stands about an item already. */
function stands(form, step, found, now) {
  const { item } = step.dataset
  const every = Number(step.querySelector("[data-every]")?.dataset.every)
  const at = found.measured[item]
  if (every && at <= now && now < at + every) return step.remove()
  const line = found.lines.find((one) => one.item === item)
  if (!line?.deferred) step.querySelector("[value='no_worse']")?.closest("label").remove()
  if (!line) return
  const words = { ...line, found: line.found.join("; ") || line.title, end: line.until_words }
  const made = clone(form, line.deferred ? "deferred" : "open", { ...words, restrictions: line.restrictions.join("; ") })
  step.querySelector(".step__words").append(made)
  for (const id of line.deferred ? line.defects : []) {
    step.append(Object.assign(document.createElement("input"), { type: "hidden", name: `than:${item}`, value: id }))
  }
}

function renumber(form) {
  const { place } = JSON.parse(form.dataset.wanted)
  const steps = [...form.querySelectorAll("[data-item]")]
  for (const [at, step] of steps.entries()) {
    const words = place.replace("{number}", at + 1).replace("{count}", steps.length)
    step.querySelector("[data-part='place']").textContent = words
  }
  for (const stop of form.querySelectorAll(".stop")) {
    if (!stop.querySelector("[data-item]")) stop.remove()
  }
}
