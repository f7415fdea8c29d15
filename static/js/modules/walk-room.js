/** Makes room on a step, little by little: its answers may not hide its words. */
export function makeRoom(step) {
  const { classList } = step
  classList.remove("step--alone", "step--tight", "step--long")
  classList.toggle("step--alone", runsOver()) // first the loop goes: the answers keep their place
  classList.toggle("step--tight", runsOver())
  classList.toggle("step--long", hidesWords(step))
}

function runsOver() {
  return document.documentElement.scrollHeight > innerHeight
}

function hidesWords(step) {
  const [words, answers] = [".step__words", ".step__answers"].map((part) => step.querySelector(part))
  return words?.getBoundingClientRect().bottom > answers?.getBoundingClientRect().top
}
