/** Stands in the place of a page that the server did not send, and leads to what the phone keeps. */
import { isThere } from "../db.js"
import { site, unit, units } from "../heard.js"
import { sha256 } from "../ids.js"
import { wayOf } from "../way.js"

export async function start(element) {
  const known = isThere() && (await site())
  const address = known && (await find(wayOf(location)))
  if (address) return location.replace(address)
  const show = (name) => (element.querySelector(`[data-part='${name}']`).hidden = false)
  element.querySelector("[data-part='looking']").hidden = true
  show("nothing")
  if (!known) show("never")
  else if (location.pathname.startsWith("/q/")) show("label")
}

async function find({ label, unit: number, page, list, occasion, ...query }) {
  if (label) return find(await labelled(label))
  if (!number) return page && page + written(query)
  const found = await unit(number)
  if (!found) return undefined
  if (!list) return page + written({ unit: number, ...query })
  const known = found.lists[occasion]
  return known && `/kept/${list}/${known.name}/${known.version}${written({ unit: number })}`
}

/** The phone knows labels by their fingerprints alone: it could print none of them. */
async function labelled(token) {
  const name = await sha256(new TextEncoder().encode(token))
  const found = (await units()).find((one) => one.label === name)
  return found ? { unit: found.number, page: "/kept/unit" } : {}
}

function written(query) {
  const said = Object.entries(query).filter(([, value]) => value !== undefined)
  return said.length ? `?${new URLSearchParams(said)}` : ""
}
