/** A phone's store in memory, and what its scripts say out of it at an instant of its own clock. */
import { Disk } from "./disk.js"

const disk = new Disk().install()
performance.now = () => Date.now() // the phone's clock goes on evenly, however wrong it is

/** Return the verdict on a unit by what was heard of the `site` and by the phone's `own` records. */
export async function says({ site: { units, ...site }, number, own, now }) {
  Date.now = () => now
  const { all, change } = await import("../../static/js/db.js")
  const { standingOf } = await import("../../static/js/standing.js")
  await all("heard") // it is open from here on
  disk.stores.forEach(({ rows }) => rows.clear())
  await change(["heard", "entry"], (tx) => {
    tx.objectStore("heard").put({ ...site, key: "site" })
    for (const unit of units) tx.objectStore("heard").put({ ...unit, key: `unit:${unit.number}` })
    for (const [at, record] of own.entries()) tx.objectStore("entry").put({ photos: [], ...record, n: at + 1, state: "waiting" })
  })
  return (await standingOf(number, now)).verdict
}
