import assert from "node:assert/strict"
import { constants, generateKeyPairSync, privateDecrypt } from "node:crypto"
import { test } from "node:test"
import { signerOf } from "../../static/js/signer.js"

const { publicKey, privateKey } = generateKeyPairSync("rsa", { modulusLength: 2048 })
const known = { signed_in: { crew_number: "101", until: 100 }, seal_key: publicKey.export({ format: "jwk" }) }

/** A form with fields for somebody to sign; `typed` is what they wrote. */
function form({ typed = ["", ""], another = false, by = "", asks = true } = {}) {
  const focused = []
  const words = { hidden: true }
  const field = (value, name) => ({ value, focus: () => focused.push(name) })
  const [signer, signer_pin] = [field(typed[0], "signer"), field(typed[1], "signer_pin")]
  const [fields, offer] = [{ hidden: true }, { hidden: false }]
  const own = { "[data-part='another']": fields, "[data-part='known']": offer }
  const parts = { ...own, "[data-part='unsigned']": words, "[data-part='signer']": { dataset: { wanted: "Give both." } } }
  const elements = asks ? { signer, signer_pin, another: { checked: another } } : {}
  return { dataset: { by }, elements, querySelector: (wanted) => parts[wanted], focused, words, fields, offer }
}

test("a page that was made for somebody is signed by them", async () => {
  assert.deepEqual(await signerOf(form({ by: "201", asks: false }), "e1", known, 1000), { by: "201" })
})

test("whoever is signed in on the phone signs, while that holds", async () => {
  assert.deepEqual(await signerOf(form(), "e1", known, 99), { by: "101" })
  assert.equal(await signerOf(form(), "e1", known, 100), undefined)
})

test("where a sign-in has ended under the page, the fields to sign with come up", async () => {
  const page = form()

  await signerOf(page, "e1", known, 100)

  assert.deepEqual([page.fields.hidden, page.offer.hidden, page.focused], [false, true, ["signer"]])
})

test("somebody else signs with a PIN that only the server can open, for this entry alone", async () => {
  const { by, sealed } = await signerOf(form({ another: true, typed: [" 201 ", "7306"] }), "e1", known, 50)

  const key = { key: privateKey, padding: constants.RSA_PKCS1_OAEP_PADDING, oaepHash: "sha256" }
  assert.equal(by, "201")
  assert.deepEqual(JSON.parse(privateDecrypt(key, Buffer.from(sealed, "base64url"))), { pin: "7306", entry: "e1" })
})

for (const [typed, wanted] of [[["", ""], "signer"], [["", "7306"], "signer"], [["201", ""], "signer_pin"]]) {
  test(`with ${JSON.stringify(typed)} nobody has signed, and the page says what is wanted`, async () => {
    const page = form({ another: true, typed })

    assert.equal(await signerOf(page, "e1", known, 50), undefined)
    assert.deepEqual([page.words.textContent, page.words.hidden, page.focused], ["Give both.", false, [wanted]])
  })
}

test("without the server's key no PIN is taken", async () => {
  const page = form({ typed: ["201", "7306"] })

  assert.equal(await signerOf(page, "e1", { signed_in: null }, 50), undefined)
  assert.equal(page.words.hidden, false)
})
