import { createHash } from 'node:crypto'
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { Readable } from 'node:stream'
import { text } from 'node:stream/consumers'
import { afterAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { folderStore, isWhole } from '@/lib/platform/files/file-store'
import { placeFilesByHash } from '@/lib/platform/files/move-files'

const folder = mkdtempSync(path.join(tmpdir(), 'tankround-files-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

// FIPS 180-2, appendix B.1: the hash of "abc".
const ABC = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'

describe('the folder that keeps files', () => {
  const store = folderStore(path.join(folder, 'store'))
  const businessId = newId()
  const place = { businessId, sha256: ABC }

  test('gives back what it was given, under its SHA-256, once', async () => {
    const bytes = new TextEncoder().encode('abc')
    expect(await store.put(businessId, bytes)).toBe(ABC)
    expect(await store.put(businessId, bytes)).toBe(ABC)
    expect(readdirSync(path.join(folder, 'store', businessId))).toEqual([ABC])
    const file = await store.read(place)
    expect(file?.sizeBytes).toBe(3)
    expect(file && (await text(file.content))).toBe('abc')
    expect(await store.read({ businessId: newId(), sha256: ABC })).toBeNull()
    expect(statSync(path.join(folder, 'store')).mode & 0o777).toBe(0o700)
    expect(statSync(path.join(folder, 'store', businessId, ABC)).mode & 0o777).toBe(0o600)
  })

  test('refuses content that is not what its name says, and keeps the old', async () => {
    await expect(store.keep(place, Readable.from([Buffer.from('abd')]))).rejects.toThrow(/another content/)
    expect(await isWhole(store, place)).toBe(true)
    expect(readdirSync(path.join(folder, 'store', businessId))).toEqual([ABC])
  })

  test('mends a file that lost its end when it is given again', async () => {
    writeFileSync(path.join(folder, 'store', businessId, ABC), 'ab')
    expect(await isWhole(store, place)).toBe(false)
    await store.put(businessId, new TextEncoder().encode('abc'))
    expect(await isWhole(store, place)).toBe(true)
  })

  test('lists its files and nothing else', async () => {
    const more = await store.put(businessId, new Uint8Array(5))
    writeFileSync(path.join(folder, 'store', businessId, 'notes.txt'), '')
    const listed = []
    for await (const one of store.list()) listed.push(one)
    const wanted = [
      { businessId, sha256: ABC, sizeBytes: 3 },
      { businessId, sha256: more, sizeBytes: 5 },
    ]
    expect(listed).toEqual(wanted.sort((a, b) => (a.sha256 < b.sha256 ? -1 : 1)))
  })

  test('refuses a way out of the folder', async () => {
    const sha256 = createHash('sha256').update('x').digest('hex')
    await expect(store.read({ businessId: '../../etc', sha256 })).rejects.toThrow(RangeError)
    await expect(store.read({ businessId, sha256: '../passwd' })).rejects.toThrow(RangeError)
    await expect(store.put('..', new Uint8Array())).rejects.toThrow(RangeError)
  })

  test('files of the first version, kept by visit, get their place by hash; a second time changes nothing', async () => {
    const old = path.join(folder, 'old')
    const [one, two] = [newId(), newId()]
    for (const visitId of [newId(), newId()])
      for (const business of [one, two]) {
        const place = path.join(old, business, visitId, newId())
        mkdirSync(place, { recursive: true })
        writeFileSync(path.join(place, ABC), 'abc')
      }
    const strange = path.join(old, two, newId(), newId(), 'strange')
    mkdirSync(path.dirname(strange), { recursive: true })
    writeFileSync(strange, 'not ours')
    expect(await placeFilesByHash(old, { keepFormer: true })).toBe(4)
    expect(await isWhole(folderStore(old), { businessId: one, sha256: ABC })).toBe(true)
    expect(readdirSync(path.join(old, one))).toHaveLength(3) // the former names are there, too
    expect(await placeFilesByHash(old)).toBe(4) // the same picture of two visits is one file
    expect(readdirSync(path.join(old, one))).toEqual([ABC])
    expect(await isWhole(folderStore(old), { businessId: two, sha256: ABC })).toBe(true)
    expect(readFileSync(strange, 'utf8')).toBe('not ours')
    expect(await placeFilesByHash(old)).toBe(0)
    expect(await placeFilesByHash(path.join(folder, 'nowhere'))).toBe(0)
  })
})
