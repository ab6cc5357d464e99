import { createHash } from 'node:crypto'
import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { folderStore } from '@/lib/platform/files/file-store'

const folder = mkdtempSync(path.join(tmpdir(), 'tankround-files-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('the folder that keeps files', () => {
  const store = folderStore(folder)
  const place = { businessId: newId(), visitId: newId(), fileId: newId() }

  test('gives back what it was given, under its SHA-256, once', async () => {
    // FIPS 180-2, appendix B.1: the hash of "abc".
    const abc = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'
    const bytes = new TextEncoder().encode('abc')
    expect(await store.put(place, bytes)).toBe(abc)
    expect(await store.put(place, bytes)).toBe(abc)
    expect(readdirSync(path.join(folder, place.businessId, place.visitId, place.fileId))).toEqual([abc])
    const file = await store.read({ ...place, sha256: abc })
    expect(file?.sizeBytes).toBe(3)
    expect(await new Response(file?.stream).text()).toBe('abc')
    await store.remove({ ...place, sha256: abc })
    await store.remove({ ...place, sha256: abc })
    expect(await store.has({ ...place, sha256: abc })).toBe(false)
    expect(await store.read({ ...place, sha256: abc })).toBeNull()
  })

  test('refuses a way out of the folder', async () => {
    const sha256 = createHash('sha256').update('x').digest('hex')
    await expect(store.read({ ...place, businessId: '../../etc', sha256 })).rejects.toThrow(RangeError)
    await expect(store.read({ ...place, sha256: '../passwd' })).rejects.toThrow(RangeError)
    await expect(store.put({ ...place, fileId: '..' }, new Uint8Array())).rejects.toThrow(RangeError)
  })
})
