/** What may be said of a unit without a signal: never more than the office would say. */

const STATE_OF = {
  laid_up: "laid_up",
  defect: "tagged_out",
  hold: "tagged_out",
  deferral_over: "tagged_out",
  service_overdue: "tagged_out",
  deferred: "ok_with_restrictions",
}
const ORDER = ["laid_up", "tagged_out", "not_checked", "ok_with_restrictions", "ok_to_run"]
const WALKED = new Set(["not_walked", "cut_short", "unconfirmed"]) // what a walk of this shift ends

/**
 * Judge by what the phone last heard of a `unit` and by its own entries (`own`) since.
 * `fresh` says whether it was heard within the site's limit; `now` is in UTC milliseconds by the
 * office's clock, which is `ahead` of the one by which the entries were made.
 * Returns {state, reasons, until, said}: `said` names what stands in the place of OK to run.
 */
export function strict({ unit, own, now, fresh, signedIn, ahead = 0 }) {
  const walk = own.filter((record) => covers(record, now)).at(-1)
  const reasons = [...heard(unit, walk, now, ahead), ...over(unit, own, now), ...found(unit, own)]
  reasons.sort((a, b) => ORDER.indexOf(stateOf(a)) - ORDER.indexOf(stateOf(b))) // blocking ones first
  const state = reasons.length ? stateOf(reasons[0]) : "ok_to_run"
  if (!state.startsWith("ok")) return { state, reasons, until: null }
  if (!fresh) return { state: "not_checked", reasons, until: null, said: walk ? "in order" : "old" }
  if (walk && !isTheirs(walk, signedIn, now)) {
    return { state: "not_checked", reasons, until: null, said: "unproved" }
  }
  return { state, reasons, until: end(unit, walk), said: walk ? "not heard" : "heard" }
}

const stateOf = ({ code }) => STATE_OF[code] ?? "not_checked" // a doubt, and all that is unknown

/** What was heard, less what this phone's own walk ends, and with what has run out meanwhile. */
function heard(unit, walk, now, ahead) {
  const looked = new Set(unit.looks.filter((look) => isLook(look, walk, ahead)).map(({ clear }) => clear))
  const { reasons, valid_until } = unit.verdict
  const left = reasons.filter(({ code, about }) => {
    if (WALKED.has(code)) return !walk
    return !(code === "second_look" && looked.has(about))
  })
  const over = valid_until !== null && valid_until <= now && !walk
  return over ? [...left, { code: "not_walked" }] : left
}

// A second look counts by somebody else than who cleared it, and after that.
function isLook({ clear, mine, at }, walk, ahead) {
  const named = walk?.entry.body.looked_again ?? []
  return named.includes(clear) && !mine && Date.parse(walk.entry.made_at) + ahead > at
}

function over(unit, own, now) {
  const read = own.map(hoursOf).filter(Number.isFinite)
  const hours = Math.max(unit.hours ?? 0, ...read)
  return unit.lines
    .filter((line) => line.deferred && isOver(line, now, hours))
    .map((line) => ({ code: "deferral_over", item: line.item, text: line.title }))
}

const isOver = ({ until, until_hours }, now, hours) =>
  until <= now || (until_hours !== null && hours >= until_hours)

const hoursOf = ({ entry: { kind, body } }) => (kind === "hours" ? body.value : body.hours)

/** What was found bad here, and what is bare since the deferred defect under it was cleared here. */
function found({ lines }, own) {
  const clears = own.filter(({ entry }) => entry.kind === "clear")
  const cleared = new Set(clears.flatMap(({ entry }) => entry.body.defects))
  const deferred = lines.filter((line) => line.deferred)
  const bases = new Set(deferred.flatMap((line) => line.bases).filter((id) => !cleared.has(id)))
  const bare = deferred.filter((line) => {
    return line.bases.some((id) => cleared.has(id)) && !line.defects.every((id) => cleared.has(id))
  })
  const isOpen = ({ covered, than }) => !(covered && than.some((id) => bases.has(id)))
  const bad = own.flatMap((record) => record.found ?? []).filter(isOpen)
  const words = bare.map(({ item, title }) => ({ item, text: title }))
  return [...bad, ...words].map((one) => ({ code: "defect", ...one }))
}

// What the office did not take as it is covers nothing there.
function covers({ entry, covering, state, why }, now) {
  if (entry.kind !== "walkaround" || !covering) return false
  if (state === "refused" || state === "unconfirmed" || (state === "sent" && why)) return false
  return covering.start <= now && now < covering.end
}

// A PIN that was sealed is looked at by the server only; until then nobody knows who signed.
function isTheirs({ by, sealed }, signedIn, now) {
  return !sealed && signedIn?.crew_number === by && now < signedIn.until
}

function end({ verdict, lines }, walk) {
  const ends = lines.filter((line) => line.deferred).map((line) => line.until)
  return Math.min(walk ? walk.covering.end : verdict.valid_until, ...ends)
}
