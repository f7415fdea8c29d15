/** What a code that was read means, and which part of the picture is looked at. */
const SHOWN = 60 // signs of a foreign code

/** The path that a label or an enrolment of this site leads to; nothing for any other code. */
export function labelPath(text, origin) {
  const address = parsed(text)
  const isOurs = address?.origin === origin && /^\/(q|enrol)\/[\w-]+$/.test(address.pathname)
  return isOurs ? address.pathname : undefined
}

/** A foreign code as it may be shown: without what cannot be seen or turns words round, and short. */
export function shortened(text) {
  const signs = [...text.replaceAll(/[\p{C}\s]+/gu, " ").trim()]
  return signs.length > SHOWN ? `${signs.slice(0, SHOWN).join("")}…` : signs.join("")
}

/** The middle square of a picture, and the side that it is looked at with. */
export function middle(width, height, most = 720) {
  const side = Math.min(width, height)
  return { x: (width - side) / 2, y: (height - side) / 2, side, size: Math.min(side, most) }
}

function parsed(text) {
  try {
    return new URL(text)
  } catch {
    return undefined // words, a number: no address
  }
}
