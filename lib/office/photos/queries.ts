import 'server-only'
import { Readable } from 'node:stream'
import { fileStore } from '@/lib/platform/files/file-store'
import { type Actor, inBusiness } from '../frame/actor'
import { mayDo } from '../frame/role-actions'
import type { PhotoSeenBy } from './schema'

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
      select: { sha256: true, mediaType: true },
    }),
  )
  if (!photo) return null
  const { sha256, mediaType } = photo
  const file = await fileStore().read({ businessId, sha256 })
  if (!file) return null
  // Node's own web stream is the platform's; the two type declarations differ in name only.
  const stream = Readable.toWeb(file.content) as ReadableStream<Uint8Array>
  return { stream, sizeBytes: file.sizeBytes, mediaType, sha256 }
}

/** A photo as its owner decides over it. */
export type TankPhoto = { id: string; caption: string; takenAt: string; seenBy: PhotoSeenBy }

const PHOTOS_MAX = 200

/** The photos of a tank, newest first, those withdrawn too; null where the tank is not of this business. */
export function tankPhotos(actor: Actor, tankId: string): Promise<{ tankName: string; photos: TankPhoto[] } | null> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const tank = await tx.tank.findFirst({ where: { businessId, id: tankId }, select: { name: true } })
    if (!tank) return null
    const rows = await tx.photo.findMany({
      where: { businessId, tankId },
      select: { id: true, caption: true, takenAt: true, forClient: true, hiddenAt: true },
      orderBy: [{ takenAt: 'desc' }, { id: 'desc' }],
      take: PHOTOS_MAX,
    })
    const photos = rows.map(({ id, caption, takenAt, forClient, hiddenAt }) => {
      const seenBy = hiddenAt ? 'nobody' : forClient ? 'client' : 'office'
      return { id, caption, takenAt: takenAt.toISOString(), seenBy } satisfies TankPhoto
    })
    return { tankName: tank.name, photos }
  })
}
