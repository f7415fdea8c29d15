/** Whether an hour-meter reading can be, as the office would ask. */
const HOUR = 3600_000
const ALLOWANCE = 1 // hours: meters are read in whole hours here and in tenths there

/** Why a reading cannot be, after one of `hours` at `hoursAt`: "lower", "faster" or nothing. */
export function strange(value, { hours, hoursAt }, now = Date.now()) {
  if ((hours ?? "") === "") return ""
  if (value < Number(hours)) return "lower"
  const passed = Math.max(now - Number(hoursAt), 0) / HOUR
  return value > Number(hours) + passed + ALLOWANCE ? "faster" : ""
}
