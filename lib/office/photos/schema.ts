/** What comes with a picture that is sent in. Pure. */
import * as z from 'zod'
import { INTEGER_MAX, instantField as instant, text } from '../frame/fields'
import { envelope } from '../frame/schema'

/** No picture is larger than this when it comes in. */
export const MOST_PICTURE_BYTES = 15 * 1024 * 1024
/** A picture and the words around it in a form; the server in front refuses more. */
export const PHOTO_FORM_MOST_BYTES = MOST_PICTURE_BYTES + 64 * 1024
const caption = text(500)

/** The photo's id is the one of its `visit.photo` command, which may have come before or comes with the picture. */
export const photoUploadSchema = z.object({
  photoId: z.uuid(),
  businessId: z.uuid(),
  visitId: z.uuid(),
  caption: caption.default(''),
  forClient: z.enum(['true', 'false']).transform((text) => text === 'true'),
  takenAt: instant,
  deviceId: text(100).min(1),
  deviceSeq: z.coerce.number().int().min(0).max(INTEGER_MAX),
})
export type PhotoUpload = z.output<typeof photoUploadSchema>

/** What the log keeps of a picture that came: the hash of it as it was received. */
export const keepPictureSchema = z.object({
  commandId: z.uuid(),
  businessId: z.uuid(),
  visitId: z.uuid(),
  photoId: z.uuid(),
  caption,
  forClient: z.boolean(),
  takenAt: instant,
  sha256: text(64).regex(/^[0-9a-f]{64}$/),
})

/** Who sees a picture: the client too, only the business, or nobody any more. */
export const PHOTO_SEEN_BY = ['client', 'office', 'nobody'] as const
export type PhotoSeenBy = (typeof PHOTO_SEEN_BY)[number]

export const changePhotoSchema = envelope.extend({
  photoId: z.uuid(),
  seenBy: z.enum(PHOTO_SEEN_BY, 'Choose who sees this photo.'),
})

export const PICTURE_WORDS = {
  'too-large': 'This picture is larger than 15 MB. Send a smaller one.',
  'not-a-picture': 'This is not a picture that can be kept: JPEG, PNG, WebP or AVIF.',
} as const

export const PHOTO_WORDS = {
  signedOut: 'Sign in again; the picture is still on your phone.',
  tooLarge: PICTURE_WORDS['too-large'],
  noForm: 'There is no picture in this.',
} as const
