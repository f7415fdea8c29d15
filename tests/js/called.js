/** Calls the pages' scripts for tests in Python: a line of calls in, a line of answers out. */
import { createInterface } from "node:readline"
import { made } from "./paper-walk.js"
import { says } from "./stored-phone.js"

// A walk is made out of a form, and there is none here: the test writes down what it would hold.
const OURS = { "paper-walk": { made }, "stored-phone": { says } }

for await (const line of createInterface({ input: process.stdin })) {
  const answers = []
  for (const [module, name, ...given] of JSON.parse(line)) {
    const found = OURS[module] ?? (await import(`../../static/js/${module}.js`))
    answers.push((await found[name](...given)) ?? null)
  }
  console.log(JSON.stringify(answers))
}
