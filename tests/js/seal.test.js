import assert from "node:assert/strict"
import { constants, generateKeyPairSync, privateDecrypt } from "node:crypto"
import { test } from "node:test"
import { sealPin } from "../../static/js/seal.js"

const { publicKey, privateKey } = generateKeyPairSync("rsa", { modulusLength: 2048 })

test("what is sealed opens with the server's key alone, and says for which entry it is", async () => {
  const key = publicKey.export({ format: "jwk" })

  const sealed = await sealPin({ ...key, use: "enc", kid: "1" }, "4821", "e1")

  const opened = privateDecrypt(
    { key: privateKey, padding: constants.RSA_PKCS1_OAEP_PADDING, oaepHash: "sha256" },
    Buffer.from(sealed, "base64url"),
  )
  assert.deepEqual(JSON.parse(opened), { pin: "4821", entry: "e1" })
  assert.match(sealed, /^[\w-]+$/) // base64url, RFC 4648, section 5
})

test("the same PIN never looks the same", async () => {
  const key = publicKey.export({ format: "jwk" })

  assert.notEqual(await sealPin(key, "4821", "e1"), await sealPin(key, "4821", "e1"))
})
