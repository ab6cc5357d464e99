import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { addPhoto, changePhoto } from '@/lib/office/photos/commands'
import { findPhotoFile, tankPhotos } from '@/lib/office/photos/queries'
import { MOST_PICTURE_BYTES } from '@/lib/office/photos/schema'
import { inScope } from '@/lib/platform/db/scope'
import { readPicture } from '@/lib/platform/files/picture'
import { bookVisit, makeRound, type Round } from '../visits/round'
import { recordOf } from '../visits/say'

const folder = mkdtempSync(path.join(tmpdir(), 'tankround-photos-'))
let round: Round
let jpeg: Uint8Array
beforeAll(async () => {
  process.env.TANKROUND_FILES = folder
  round = await makeRound()
  // 2400 × 1200, stored on its side (orientation 6) with a place and a camera in it.
  jpeg = await sharp({ create: { width: 2400, height: 1200, channels: 3, background: '#2a6478' } })
    .jpeg()
    .withExif({ IFD0: { Make: 'Camera' }, IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '51/1 30/1 0/1' } })
    .withMetadata({ orientation: 6 })
    .toBuffer()
})
afterAll(() => {
  delete process.env.TANKROUND_FILES
  rmSync(folder, { recursive: true, force: true })
})

const upload = (visitId: string, over = {}) => ({
  ...{ photoId: newId(), businessId: round.businessId, visitId, caption: 'Cabinet', forClient: true },
  ...{ takenAt: '2026-11-26T10:00:00Z', deviceId: 'phone-a', deviceSeq: 1, ...over },
})
const clientActor = (clientId: string): Actor => ({
  ...{ businessId: round.businessId, personId: newId(), membershipId: newId(), roles: ['client'], clientId, name: '' },
})

describe('a picture', () => {
  test('is kept upright, small, as WebP and without where it was taken', async () => {
    const picture = await readPicture(jpeg, MOST_PICTURE_BYTES)
    if (typeof picture === 'string') throw new Error(picture)
    expect([picture.widthPx, picture.heightPx]).toEqual([800, 1600])
    const { exif, format, orientation } = await sharp(picture.bytes).metadata()
    expect({ exif, format, orientation }).toEqual({ exif: undefined, format: 'webp', orientation: undefined })
  })

  test.each([
    ['a drawing that is a program', '<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'],
    ['a page', '<!doctype html><p>'],
    ['an animation', 'GIF89a\x01\x00\x01\x00'],
    ['nothing', ''],
    ['the head of a JPEG and rubbish', '\xff\xd8\xffrubbish'],
  ])('is not %s', async (_, text) => {
    expect(await readPicture(Buffer.from(text, 'latin1'), MOST_PICTURE_BYTES)).toBe('not-a-picture')
  })

  test('of 64 megapixels or of more than 15 MB is refused', async () => {
    const wide = await sharp({ create: { width: 8000, height: 8000, channels: 3, background: '#000' } })
      .png()
      .toBuffer()
    expect(await readPicture(wide, MOST_PICTURE_BYTES)).toBe('not-a-picture')
    expect(await readPicture(new Uint8Array(15 * 1024 * 1024 + 1), MOST_PICTURE_BYTES)).toBe('too-large')
  })
})

describe('photos of a visit', () => {
  test('sent twice, also at once, is one', async () => {
    const visitId = await bookVisit(round)
    const sent = upload(visitId)
    const both = await Promise.all([addPhoto(round.actor, sent, jpeg), addPhoto(round.actor, sent, jpeg)])
    const again = await addPhoto(round.actor, sent, jpeg)
    expect([...both, again]).toEqual(Array(3).fill({ ok: true, value: { photoId: sent.photoId } }))
    const record = await recordOf(round, visitId)
    expect(record?.photos).toEqual([{ id: sent.photoId, caption: 'Cabinet', forClient: true }])
  })

  test('a client sees the shown ones of their own tanks and no others; the office sees all of its business', async () => {
    const visitId = await bookVisit(round)
    const [shown, ours] = [upload(visitId), upload(visitId, { forClient: false, deviceSeq: 2 })]
    for (const photo of [shown, ours]) expect((await addPhoto(round.actor, photo, jpeg)).ok).toBe(true)
    const sees = async (actor: Actor, photoId: string) => {
      const file = await findPhotoFile(actor, photoId)
      await file?.stream.cancel()
      return file !== null
    }
    const stranger = await makeRound()
    expect(await sees(round.actor, ours.photoId)).toBe(true)
    expect(await sees(clientActor(round.clientId), shown.photoId)).toBe(true)
    expect(await sees(clientActor(round.clientId), ours.photoId)).toBe(false)
    expect(await sees(clientActor(round.otherClientId), shown.photoId)).toBe(false)
    expect(await sees({ ...round.actor, roles: ['accountant'] }, shown.photoId)).toBe(false)
    expect(await sees(stranger.actor, shown.photoId)).toBe(false)
    const change = { commandId: newId(), businessId: round.businessId, photoId: shown.photoId }
    const owner: Actor = { ...round.actor, roles: ['owner'] }
    expect((await changePhoto(owner, { ...change, seenBy: 'nobody' })).ok).toBe(true)
    expect(await sees(clientActor(round.clientId), shown.photoId)).toBe(false)
    expect(await sees(round.actor, shown.photoId)).toBe(false)
    // Put right again, to the business alone, and to the client after all; who may not change the register may not do it.
    const again = (seenBy: 'client' | 'office', actor = owner) =>
      changePhoto(actor, { ...change, commandId: newId(), seenBy })
    expect((await again('office')).ok).toBe(true)
    expect([await sees(round.actor, shown.photoId), await sees(clientActor(round.clientId), shown.photoId)]).toEqual([
      true,
      false,
    ])
    expect(await again('client', round.actor)).toMatchObject({ reason: 'not-allowed' })
    expect(await again('client', stranger.actor)).toMatchObject({ reason: 'other-business' })
    expect((await again('client')).ok).toBe(true)
    expect(await sees(clientActor(round.clientId), shown.photoId)).toBe(true)
    const list = await tankPhotos(round.actor, round.tankId)
    expect(list?.photos.find(({ id }) => id === shown.photoId)).toMatchObject({ seenBy: 'client' })
    expect(await tankPhotos(stranger.actor, round.tankId)).toBeNull()
  })

  test('a client adds none, nor does anybody to another business’s visit', async () => {
    const visitId = await bookVisit(round)
    expect(await addPhoto(clientActor(round.clientId), upload(visitId), jpeg)).toMatchObject({ reason: 'not-allowed' })
    const stranger = await makeRound()
    expect(await addPhoto(stranger.actor, upload(visitId), jpeg)).toMatchObject({ reason: 'other-business' })
    const forged = upload(visitId, { businessId: stranger.businessId })
    expect(await addPhoto(stranger.actor, forged, jpeg)).toMatchObject({ reason: 'not-found' })
  })

  test('a photo keeps its visit when it is sent again for another one', async () => {
    const [visitId, other] = [await bookVisit(round), await bookVisit(round)]
    const sent = upload(visitId)
    await addPhoto(round.actor, sent, jpeg)
    await addPhoto(round.actor, { ...sent, visitId: other }, jpeg)
    const rows = await inScope(round.scope, (tx) => tx.photo.findMany({ where: { id: sent.photoId } }))
    expect(rows.map((row) => row.visitId)).toEqual([visitId])
  })
})
