/** Pieces of a page, filled with words; no text of ours ever becomes markup. */

/** Return what the template `part` of `root` holds, each {name} in texts and attributes filled. */
export function clone(root, part, words) {
  return filled(root.querySelector(`template[data-part='${part}']`), words)
}

export function filled(template, words) {
  const made = template.content.firstElementChild.cloneNode(true)
  for (const element of [made, ...made.querySelectorAll("*")]) fill(element, words)
  return made
}

function fill(element, words) {
  for (const { name, value } of element.attributes) {
    if (value.includes("{")) element.setAttribute(name, put(value, words))
  }
  for (const node of [...element.childNodes]) {
    if (node.nodeType !== Node.TEXT_NODE || !node.data.includes("{")) continue
    node.data = put(node.data, words)
    if (!element.textContent.trim()) return element.remove() // nothing to say, so no empty line
  }
}

export const put = (text, words) => text.replace(/\{(\w+)\}/g, (all, name) => words[name] ?? all)
