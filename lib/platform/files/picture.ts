import 'server-only'
import sharp from 'sharp'

/** 50 megapixels: every phone's camera, and no bomb that unpacks to gigabytes. */
const MOST_PIXELS = 50_000_000
const LONGEST_SIDE_PX = 1600
/** What is taken, by what the bytes are, never by a file's name: sharp would read SVG and more. */
const TAKEN: ReadonlySet<string> = new Set(['jpeg', 'png', 'webp', 'avif'])

export type Picture = { bytes: Uint8Array; mediaType: 'image/webp'; widthPx: number; heightPx: number }
export type PictureProblem = 'too-large' | 'not-a-picture'

/**
 * A picture as it is kept: upright, at most 1600 px long, WebP, without where and by which camera it was taken.
 * A file that is no JPEG, PNG, WebP or AVIF, that is broken or larger than `mostBytes`, is a value that says so.
 */
export async function readPicture(bytes: Uint8Array, mostBytes: number): Promise<Picture | PictureProblem> {
  if (bytes.byteLength > mostBytes) return 'too-large'
  if (!looksLikePicture(bytes)) return 'not-a-picture'
  try {
    const options = { limitInputPixels: MOST_PIXELS, failOn: 'error', pages: 1 } as const
    const { format, compression } = await sharp(bytes, options).metadata()
    const kind = format === 'heif' && compression === 'av1' ? 'avif' : format
    if (!kind || !TAKEN.has(kind)) return 'not-a-picture'
    const { data, info } = await sharp(bytes, options)
      .rotate()
      .resize(LONGEST_SIDE_PX, LONGEST_SIDE_PX, { fit: 'inside', withoutEnlargement: true })
      .webp({ quality: 80 })
      .toBuffer({ resolveWithObject: true })
    return { bytes: data, mediaType: 'image/webp', widthPx: info.width, heightPx: info.height }
  } catch (error) {
    // sharp throws plain errors for broken, oversized and unknown input alike; anything else is a bug.
    if (error instanceof Error) return 'not-a-picture'
    throw error
  }
}

export type LogoPicture = { bytes: Uint8Array; widthPx: number; heightPx: number }

/** What a printed paper takes in at 300 dots an inch for a logo of 150 × 44 points, twice over. */
const LOGO_LONGEST_PX = { width: 1200, height: 400 }
/** Both can be printed as they are; the others are for screens. */
const LOGO_TAKEN: ReadonlySet<string> = new Set(['jpeg', 'png'])

/**
 * A logo as it is kept: a PNG of at most 1200 × 400 px on white, for paper is white and transparency does not print everywhere. A file that is
 * no PNG or JPEG, that is broken or larger than `mostBytes`, is a value that says so.
 */
export async function readLogoPicture(bytes: Uint8Array, mostBytes: number): Promise<LogoPicture | PictureProblem> {
  if (bytes.byteLength > mostBytes) return 'too-large'
  if (!looksLikePicture(bytes)) return 'not-a-picture'
  try {
    const options = { limitInputPixels: MOST_PIXELS, failOn: 'error', pages: 1 } as const
    const { format } = await sharp(bytes, options).metadata()
    if (!format || !LOGO_TAKEN.has(format)) return 'not-a-picture'
    const { data, info } = await sharp(bytes, options)
      .rotate()
      .resize(LOGO_LONGEST_PX.width, LOGO_LONGEST_PX.height, { fit: 'inside', withoutEnlargement: true })
      .flatten({ background: '#ffffff' })
      .toColourspace('srgb')
      .png({ palette: false, progressive: false })
      .toBuffer({ resolveWithObject: true })
    return { bytes: data, widthPx: info.width, heightPx: info.height }
  } catch (error) {
    // As above: whatever sharp cannot read.
    if (error instanceof Error) return 'not-a-picture'
    throw error
  }
}

/** The first bytes of the four kinds: JPEG FF D8 FF, PNG signature, RIFF…WEBP, ISO-BMFF ftyp with an AVIF brand. */
function looksLikePicture(bytes: Uint8Array): boolean {
  const text = Buffer.from(bytes.subarray(0, 64)).toString('latin1')
  const isAvif = text.slice(4, 8) === 'ftyp' && /avif|avis/.test(text.slice(8))
  const isWebp = text.startsWith('RIFF') && text.slice(8, 12) === 'WEBP'
  return text.startsWith('\xff\xd8\xff') || text.startsWith('\x89PNG\r\n\x1a\n') || isWebp || isAvif
}
