import assert from "node:assert/strict"
import { test } from "node:test"
import { hex, sha256, uuid5, uuid7 } from "../../static/js/ids.js"

const bytes = (text) => Uint8Array.from(text.match(/../g), (two) => parseInt(two, 16))

test("version 7 is as published", () => {
  // RFC 9562, appendix A.6: Tuesday, February 22, 2022 2:22:22.00 PM GMT-05:00, rand_a CC3,
  // rand_b 18C4DC0C0C07398F; the places of time, version and variant are ours to fill.
  const random = bytes("0000000000000cc318c4dc0c0c07398f")

  const made = uuid7(Date.parse("2022-02-22T14:22:22-05:00"), random)

  assert.equal(made.toUpperCase(), "017F22E2-79B0-7CC3-98C4-DC0C0C07398F")
})

test("version 7 takes other random bits each time, and leaves those that it was given", () => {
  const given = new Uint8Array(16)

  uuid7(1, given)

  assert.notEqual(uuid7(1), uuid7(1))
  assert.deepEqual(given, new Uint8Array(16))
})

test("version 5 is as published", async () => {
  // RFC 9562, appendix A.4: the name www.example.com in the namespace of domain names.
  const made = await uuid5("6ba7b810-9dad-11d1-80b4-00c04fd430c8", "www.example.com")

  assert.equal(made, "2ed6657d-e927-568b-95e1-2665a8aea6a2")
})

test("SHA-256 is as published", async () => {
  // FIPS 180-4's example for SHA-256: the message "abc".
  const made = await sha256(new TextEncoder().encode("abc"))

  assert.equal(made, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")
})

test("bytes are written with two digits each", () => {
  assert.equal(hex(Uint8Array.of(0, 10, 255)), "000aff")
})
