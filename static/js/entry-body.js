/** The body of an entry out of the fields of a form, and what is still wanted for it. */
import { strange } from "./hours.js"
import { number } from "./walk-body.js"

/**
 * Return {body, photos, text} of one kind, or {wanted}: the name of the sentence that asks for more.
 * `about` has the unit's last hours and when they were read, in UTC milliseconds.
 */
export function bodyOf(kind, fields, about) {
  const made = KINDS[kind](fields)
  const hours = made.body?.[kind === "hours" ? "value" : "hours"]
  const why = hours === undefined ? "" : strange(hours, about)
  if (!why) return made
  return fields.one("insisted") ? { ...made, body: { ...made.body, insisted: true } } : { wanted: why }
}

const KINDS = { hours, defect, clear, fill }

function hours(fields) {
  const value = number(fields.one("hours"))
  return value >= 0 ? { body: { value } } : { wanted: "hours" }
}

function defect(fields) {
  const findings = fields.all("findings")
  const what = fields.one("what") || fields.all("named").join(", ")
  if (!what) return { wanted: "what" }
  const photos = fields.all("photos")
  const item = fields.one("item")
  const more = { item, findings: item ? findings : [], photos, critical: fields.one("critical") ? true : "" }
  return { body: { what, ...told(more) }, photos, text: what }
}

function clear(fields) {
  const [outcome, work] = [fields.one("outcome"), fields.one("work")]
  if (!outcome) return { wanted: "outcome" }
  if (!work) return { wanted: "work" }
  const value = number(fields.one("hours"))
  if (fields.one("hours") && !(value >= 0)) return { wanted: "hours" }
  const photos = [...fields.all("photos"), ...fields.all("photo")]
  const defects = fields.all("defect")
  const more = { parts: fields.one("parts"), hours: value >= 0 ? value : "", photos }
  return { body: { defects, outcome, work, ...told(more) }, photos }
}

function fill(fields) {
  const fluid = fields.one("fluid")
  if (!fluid) return { wanted: "fluid" }
  const litres = number(fields.one("litres"))
  if (!(litres > 0)) return { wanted: "litres" }
  const read = ["hours", "biodiesel_percent"].map((name) => [name, fields.one(name)])
  const values = Object.fromEntries(read.map(([name, typed]) => [name, typed ? number(typed) : ""]))
  if (values.hours !== "" && !(values.hours >= 0)) return { wanted: "hours" }
  if (!isShare(values.biodiesel_percent)) return { wanted: "percent" }
  const more = { ...values, to_full: fields.one("to_full") ? true : "" }
  return { body: { fluid, litres, ...told(more) } }
}

const isShare = (percent) => percent === "" || (percent >= 0 && percent <= 100)

const told = (more) => Object.fromEntries(Object.entries(more).filter(([, value]) => value !== "" && value.length !== 0))
