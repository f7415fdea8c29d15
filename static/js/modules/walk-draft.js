/** Keeps what has been answered while the page is open in this tab, so that a reload loses nothing. */
const LONGEST = 3 * 3600 * 1000 // milliseconds: a walk that was begun longer ago begins anew

export function follow(form, store = sessionStorage) {
  const name = form.dataset.draft
  const keep = () => store.setItem(name, JSON.stringify(pairs(form)))
  if (!form.dataset.opened) restore(form, JSON.parse(store.getItem(name) ?? "[]"))
  form.addEventListener("input", keep)
  form.addEventListener("change", keep)
}

function pairs(form) {
  const all = [...new FormData(form)]
  return all.filter(([name, value]) => name !== "csrf_token" && typeof value === "string")
}

function restore(form, kept) {
  if (!fits(Object.fromEntries(kept), Object.fromEntries(pairs(form)))) return
  for (const [name, value] of kept) put(form, name, value)
}

/** Say whether a draft belongs to this list in these units and is young enough by the server. */
export function fits(kept, fresh) {
  const age = Number(fresh.started_at) - Number(kept.started_at)
  const alike = kept.version === fresh.version && kept.units === fresh.units
  return alike && age >= 0 && age < LONGEST
}

function put(form, name, value) {
  const fields = [...form.querySelectorAll(`[name="${CSS.escape(name)}"]`)]
  const chosen = fields.find((field) => /radio|checkbox/.test(field.type) && field.value === value)
  if (chosen) chosen.checked = true
  else if (name.startsWith("photos:")) form.append(hidden(name, value))
  else if (fields[0]) {
    fields[0].value = value
    fields[0].dispatchEvent(new Event("input", { bubbles: true })) // limits judge it again
  }
}

function hidden(name, value) {
  const field = document.createElement("input")
  Object.assign(field, { type: "hidden", name, value })
  return field
}
