import 'server-only'
import { fileStore } from '@/lib/platform/files/file-store'
import { type Actor, inBusiness } from '../actor'
import { mayDo } from '../people/role-actions'

export type PhotoFile = { stream: ReadableStream<Uint8Array>; sizeBytes: number; mediaType: string; sha256: string }

/**
 * The file of a photo, if this actor may see its row: the office all of its business, a client the shown ones of their own
 * tanks (the row policy says so too). Null for everything else; we do not say whether it exists.
 */
export async function findPhotoFile(actor: Actor, photoId: string): Promise<PhotoFile | null> {
  if (!mayDo(actor.roles, 'photo.read')) return null
  const { businessId } = actor
  const isClient = !actor.roles.some((role) => role !== 'client')
  const photo = await inBusiness(actor, (tx) =>
    tx.photo.findFirst({
      where: {
        businessId,
        id: photoId,
        hiddenAt: null,
        ...(isClient ? { clientId: actor.clientId, forClient: true } : {}),
      },
      select: { visitId: true, sha256: true, mediaType: true },
    }),
  )
  if (!photo?.visitId) return null
  const { visitId, sha256, mediaType } = photo
  const file = await fileStore().read({ businessId, visitId, fileId: photoId, sha256 })
  return file && { ...file, mediaType, sha256 }
}
