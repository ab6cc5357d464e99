import 'server-only'
import { fileStore } from '@/lib/platform/files/file-store'
import { readPicture } from '@/lib/platform/files/picture'
import type { Actor } from '../actor'
import { runCommand } from '../command'
import { mayDo } from '../people/role-actions'
import { done, invalid, OTHER_BUSINESS, type Result, refused } from '../result'
import { applyVisitCommand, type VisitReason } from '../visits/commands'
import { rowId } from '../visits/row-ids'
import { type PhotoUpload, PICTURE_WORDS } from './schema'

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
  if (!mayDo(actor.roles, 'photo.add'))
    return { ok: false, reason: 'not-allowed', words: 'Only owner and technicians add photos.' }
  const picture = await readPicture(bytes)
  if (typeof picture === 'string') return refused(picture, PICTURE_WORDS[picture])
  const said = await applyVisitCommand(actor, {
    ...{ id: photoId, businessId, visitId, version: 1, deviceId, deviceSeq, madeAt: takenAt },
    ...{ kind: 'visit.photo', caption, forClient, takenAt },
  })
  if (!said.ok) return said
  const command = { id: rowId(photoId, 'upload'), kind: 'photo.upload', payload: { photoId, visitId } }
  return runCommand(actor, command, async ({ tx }) => {
    const event = await tx.visitEvent.findFirst({ where: { businessId, id: photoId, visitId, kind: 'photo' } })
    const visit = await tx.visit.findFirst({ where: { businessId, id: visitId } })
    if (!event || !visit) return invalid({ photoId: ['This photo belongs to another visit.'] })
    const sha256 = await fileStore().put({ businessId, visitId, fileId: photoId }, picture.bytes)
    const { mediaType, widthPx, heightPx } = picture
    await tx.photo.create({
      data: {
        ...{ businessId, id: photoId, visitId, clientId: visit.clientId, tankId: visit.tankId },
        ...{ sha256, mediaType, widthPx, heightPx, sizeBytes: picture.bytes.byteLength },
        ...{ caption, forClient, takenAt: new Date(takenAt), commandId: photoId },
      },
    })
    return done({ photoId })
  })
}

/** Hides a picture, or shows or withholds it from the client. The file stays: what was recorded is not undone. */
export async function changePhoto(
  actor: Actor,
  input: { commandId: string; businessId: string; photoId: string; forClient: boolean; hidden: boolean },
): Promise<Result<{ photoId: string }, 'not-found'>> {
  const { commandId, businessId, photoId, forClient, hidden } = input
  if (businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, 'photo.add'))
    return { ok: false, reason: 'not-allowed', words: 'Only owner and technicians change photos.' }
  const command = { id: commandId, kind: 'photo.change', payload: { photoId, forClient, hidden } }
  return runCommand(actor, command, async ({ tx, madeAt }) => {
    const data = { forClient, hiddenAt: hidden ? madeAt : null }
    const { count } = await tx.photo.updateMany({ where: { businessId, id: photoId }, data })
    return count === 0 ? refused('not-found', 'This photo is not there any more.') : done({ photoId })
  })
}
