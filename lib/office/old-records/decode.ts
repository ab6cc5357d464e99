/** From the bytes of a file to its text, saying which encoding was found. Pure. */

export const ENCODINGS = ['utf-8', 'utf-8-bom', 'utf-16le', 'utf-16be', 'windows-1252'] as const
export type Encoding = (typeof ENCODINGS)[number]

export type Decoded = { ok: true; text: string; encoding: Encoding } | { ok: false; reason: string }

/**
 * Bytes 128 to 159 of Windows-1252, in order (WHATWG Encoding Standard, index windows-1252). Some runtimes' own decoder reads
 * them as Latin-1 control letters, so they are set here.
 */
const UPPER_CONTROLS = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ'

function windows1252(bytes: Uint8Array): string {
  const latin1 = new TextDecoder('latin1').decode(bytes)
  return latin1.replace(/[\u0080-\u009f]/g, (letter) => UPPER_CONTROLS[letter.charCodeAt(0) - 0x80] ?? letter)
}

const startsWith = (bytes: Uint8Array, mark: readonly number[]) => mark.every((byte, index) => bytes[index] === byte)

/** A spreadsheet's UTF-16 without a mark shows as every second byte being zero. */
function unmarkedUtf16(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  const looked = Math.min(bytes.length - (bytes.length % 2), 400)
  if (looked < 4) return null
  let zeroEven = 0
  let zeroOdd = 0
  for (let index = 0; index < looked; index++) if (bytes[index] === 0) index % 2 === 0 ? zeroEven++ : zeroOdd++
  const mostly = (looked / 2) * 0.8
  if (zeroOdd >= mostly && zeroEven === 0) return 'utf-16le'
  if (zeroEven >= mostly && zeroOdd === 0) return 'utf-16be'
  return null
}

function detect(bytes: Uint8Array): { encoding: Encoding; skip: number } {
  if (startsWith(bytes, [0xef, 0xbb, 0xbf])) return { encoding: 'utf-8-bom', skip: 3 }
  if (startsWith(bytes, [0xff, 0xfe])) return { encoding: 'utf-16le', skip: 2 }
  if (startsWith(bytes, [0xfe, 0xff])) return { encoding: 'utf-16be', skip: 2 }
  return { encoding: unmarkedUtf16(bytes) ?? 'utf-8', skip: 0 }
}

/**
 * Reads bytes as UTF-8 (with or without byte-order mark), UTF-16 of either byte order, or, where they are not valid
 * UTF-8, as Windows-1252, which older spreadsheets write.
 * Errors: a sentence for an empty file and for one that is not text (zero bytes in it).
 */
export function decode(bytes: Uint8Array): Decoded {
  const { encoding, skip } = detect(bytes)
  const body = bytes.subarray(skip)
  let found: Encoding = encoding
  let text: string
  try {
    text = new TextDecoder(encoding === 'utf-8-bom' ? 'utf-8' : encoding, { fatal: true }).decode(body)
  } catch {
    if (encoding !== 'utf-8') return { ok: false, reason: 'The file is damaged: its letters cannot be read.' }
    found = 'windows-1252'
    text = windows1252(body)
  }
  if (text.includes('\u0000'))
    return {
      ok: false,
      reason: 'This is not a text file (it contains zero bytes). Save the sheet as CSV and try again.',
    }
  if (text.trim() === '') return { ok: false, reason: 'The file is empty.' }
  return { ok: true, text, encoding: found }
}
