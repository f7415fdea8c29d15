/** What time it is at the office, as far as this phone could tell when it last heard from there. */
const SLACK = 120_000 // milliseconds: so far apart the office lets two clocks be

/** How far the office's clock is ahead, by the `date` of what was asked and then heard. */
export function aheadBy(date, asked, heard) {
  const ahead = Math.round(date - (asked + heard) / 2)
  return Math.abs(ahead) >= SLACK ? ahead : 0
}

/** The office's time at an instant of this phone's clock; `site` is what was heard, if anything. */
export const officeTime = (site, at = Date.now()) => at + (site?.ahead ?? 0)
