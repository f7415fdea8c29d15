/** Reads QR codes: by what the browser has, else by the decoder that set-up brought to the server. */

/** Return what reads a picture into a list of texts; nothing where neither can. */
export async function makeReader(native, decoder, load = (address) => import(address)) {
  const Detector = (await canRead(native)) ? native : await loaded(decoder, load)
  if (!Detector) return undefined
  const detector = new Detector({ formats: ["qr_code"] })
  return async (picture) => (await detector.detect(picture)).map(({ rawValue }) => rawValue)
}

/** A browser may have the interface and no format behind it. */
async function canRead(native) {
  try {
    return (await native.getSupportedFormats()).includes("qr_code")
  } catch {
    return false
  }
}

async function loaded(decoder, load) {
  if (!decoder) return undefined
  const module = await load(decoder).catch(() => undefined) // no signal, and never kept
  return module?.BarcodeDetector
}
