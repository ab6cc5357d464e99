import 'server-only'
import { createHash } from 'node:crypto'
import { fileStore } from '@/lib/platform/files/file-store'
import { type Picture, readPicture } from '@/lib/platform/files/picture'
import type { Actor } from '../frame/actor'
import { defineCommand } from '../frame/command'
import { done, invalid, OTHER_BUSINESS, type Result, refused } from '../frame/result'
import { mayDo } from '../frame/role-actions'
import { roleWords } from '../frame/role-words'
import { rowId } from '../frame/row-ids'
import { applyVisitCommand, type VisitReason } from '../visits/commands'
import { changePhotoSchema, keepPictureSchema, MOST_PICTURE_BYTES, type PhotoUpload, PICTURE_WORDS } from './schema'

export type PhotoReason = VisitReason | 'not-a-picture' | 'too-large'

/**
 * Keeps a picture of a visit: checked, upright, small, without its camera's data; then its words (`visit.photo`, if they did
 * not come before) and its row. The same photo sent again changes nothing.
 */
export async function addPhoto(
  actor: Actor,
  upload: PhotoUpload,
  bytes: Uint8Array,
): Promise<Result<{ photoId: string }, PhotoReason>> {
  const { photoId, businessId, visitId, caption, forClient, takenAt, deviceId, deviceSeq } = upload
  if (businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, 'photo.add')) return refused('not-allowed', roleWords('photo.add'))
  const picture = await readPicture(bytes, MOST_PICTURE_BYTES)
  if (typeof picture === 'string') return refused(picture, PICTURE_WORDS[picture])
  const said = await applyVisitCommand(actor, {
    ...{ id: photoId, businessId, visitId, version: 1, deviceId, deviceSeq, madeAt: takenAt },
    ...{ kind: 'visit.photo', caption, forClient, takenAt },
  })
  if (!said.ok) return said
  const sha256 = createHash('sha256').update(bytes).digest('hex')
  const kept = {
    commandId: rowId(photoId, 'upload'),
    businessId,
    visitId,
    photoId,
    caption,
    forClient,
    takenAt,
    sha256,
  }
  return keepPicture(actor, kept, { beside: picture })
}

/** The row of a picture whose words are here. In the log stands the hash of what came; the picture comes beside it. */
export const keepPicture = defineCommand(
  { kind: 'photo.upload', may: 'photo.add', schema: keepPictureSchema },
  async ({ tx, actor }, { visitId, photoId, caption, forClient, takenAt }, picture?: Picture) => {
    const { businessId } = actor
    const event = await tx.visitEvent.findFirst({ where: { businessId, id: photoId, visitId, kind: 'photo' } })
    const visit = await tx.visit.findFirst({ where: { businessId, id: visitId } })
    if (!event || !visit) return invalid({ photoId: ['This photo belongs to another visit.'] })
    if (!picture) return refused('not-a-picture', PICTURE_WORDS['not-a-picture'])
    const sha256 = await fileStore().put(businessId, picture.bytes)
    const { mediaType, widthPx, heightPx } = picture
    await tx.photo.create({
      data: {
        ...{ businessId, id: photoId, visitId, clientId: visit.clientId, tankId: visit.tankId },
        ...{ sha256, mediaType, widthPx, heightPx, sizeBytes: picture.bytes.byteLength },
        ...{ caption, forClient, takenAt: new Date(takenAt), commandId: photoId },
      },
    })
    return done({ photoId })
  },
)

/** Shows a picture to the client, keeps it to the business, or withdraws it. The file stays: what was recorded is not undone. */
export const changePhoto = defineCommand(
  { kind: 'photo.change', may: 'register.change', schema: changePhotoSchema },
  async ({ tx, actor: { businessId }, madeAt, audit }, { photoId, seenBy }) => {
    const before = await tx.photo.findFirst({ where: { businessId, id: photoId } })
    if (!before) return refused('not-found', 'This photo is not there any more.')
    const after = { forClient: seenBy === 'client', hiddenAt: seenBy === 'nobody' ? madeAt : null }
    await tx.photo.update({ where: { businessId_id: { businessId, id: photoId } }, data: after })
    const was = before.hiddenAt ? 'nobody' : before.forClient ? 'client' : 'office'
    await audit('photo', photoId, 'photo.change', { seenBy: was }, { seenBy })
    return done({ photoId })
  },
)
