/** A walk that was handed in leaves no draft behind. */
export function start(element) {
  sessionStorage.removeItem(element.dataset.draft)
}
