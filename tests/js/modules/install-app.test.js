import assert from "node:assert/strict"
import { test } from "node:test"
import { here, way } from "../../../static/js/modules/install-app.js"

const NOTHING = { isInstalled: false, isSecure: true, isOffered: false, isApplePhone: false }
const found = (more) => way({ ...NOTHING, ...more })

test("on the home screen there is nothing to say, whatever else holds", () => {
  assert.equal(found({ isInstalled: true }), "none")
  assert.equal(found({ isInstalled: true, isSecure: false, isOffered: true, isApplePhone: true }), "none")
})

test("an address that is not secure is named first", () => {
  assert.equal(found({ isSecure: false }), "insecure")
  assert.equal(found({ isSecure: false, isApplePhone: true }), "insecure")
})

test("an offer of the browser becomes a button", () => {
  assert.equal(found({ isOffered: true }), "offered")
})

test("an Apple phone, which makes no offer, says how it is done by hand", () => {
  assert.equal(found({ isApplePhone: true }), "share")
})

test("a browser that offers nothing shows nothing", () => {
  assert.equal(found({}), "none")
})

/** What a browser is: an iPhone's has `standalone`, others have not (from memory). */
const browser = (navigator, isSecureContext = true) => ({ isSecureContext, navigator: { maxTouchPoints: 5, ...navigator } })
const seen = (matches, ...one) => way(here({ matches }, browser(...one)))

test("a browser is known by what it has", () => {
  assert.equal(seen(false, { standalone: false }), "share")
  assert.equal(seen(false, { standalone: true }), "none")
  assert.equal(seen(true, {}), "none")
  assert.equal(seen(false, {}), "none")
  assert.equal(seen(false, {}, false), "insecure")
  assert.equal(seen(false, { standalone: false, maxTouchPoints: 0 }), "none")
})
