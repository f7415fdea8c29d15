/** Instants in the words of the reader, on the site's clock. */

/** A time of day, with the day where it is not today's: `05:51` or `24 Nov 13:40`. */
export function moment(at, { zone, language, now = Date.now() }) {
  const time = format(at, { timeStyle: "short", hourCycle: "h23" }, zone, language)
  const day = (instant) => format(instant, { day: "numeric", month: "short" }, zone, language)
  return day(at) === day(now) ? time : `${day(at)} ${time}`
}

const format = (at, shape, timeZone, language) =>
  new Intl.DateTimeFormat(language === "en" ? "en-GB" : language, { ...shape, timeZone }).format(at)

/** How long something took, in the largest unit that is not coarse: {n, unit}. */
export function length(milliseconds) {
  const minutes = Math.floor(milliseconds / 60_000)
  if (minutes < 120) return { n: minutes, unit: "minutes" }
  if (minutes < 48 * 60) return { n: Math.floor(minutes / 60), unit: "hours" }
  return { n: Math.floor(minutes / 60 / 24), unit: "days" }
}
