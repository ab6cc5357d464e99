/** What comes with a picture that is sent in. Pure. */
import { z } from 'zod'

/** The photo's id is the one of its `visit.photo` command, which may have come before or comes with the picture. */
export const photoUploadSchema = z.object({
  photoId: z.uuid(),
  businessId: z.uuid(),
  visitId: z.uuid(),
  caption: z.string().trim().max(500, 'Keep it under 500 characters.').default(''),
  forClient: z.enum(['true', 'false']).transform((text) => text === 'true'),
  takenAt: z.iso.datetime({ offset: true }),
  deviceId: z.string().min(1).max(100),
  deviceSeq: z.coerce.number().int().min(0),
})
export type PhotoUpload = z.output<typeof photoUploadSchema>

export const PICTURE_WORDS = {
  'too-large': 'This picture is larger than 15 MB. Send a smaller one.',
  'not-a-picture': 'This is not a picture that can be kept: JPEG, PNG, WebP or AVIF.',
} as const
