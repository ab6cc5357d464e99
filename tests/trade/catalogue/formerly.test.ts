// Slugs are immutable after this renaming: the pairs are held against the catalogue and against the migration that renamed what was stored.
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { lookRowId, renewalRowId } from '@/lib/office/frame/row-ids'
import { failureModeOf } from '@/lib/office/old-records/class-words'
import { equipmentKey, fingerprint } from '@/lib/office/old-records/keys'
import { visitCommandSchema } from '@/lib/office/visits/schema'
import { currentSlug, findClass, findMode, findTask, firstSlug, formerly, TANK_KINDS } from '@/lib/trade/catalogue'
import { REFILL_KIND_SLUGS } from '@/lib/trade/refill-kinds'

const isKnown = (slug: string) =>
  findClass(slug) !== null ||
  findMode(slug) !== null ||
  findTask(slug) !== null ||
  [...TANK_KINDS, ...REFILL_KIND_SLUGS].some((kind) => kind === slug)

describe('former spellings', () => {
  test('lead to slugs that are known, and are none themselves', () => {
    for (const [former, current] of Object.entries(formerly)) {
      expect(isKnown(current), current).toBe(true)
      expect(isKnown(former), former).toBe(false)
      expect([currentSlug(former), currentSlug(current)]).toEqual([current, current])
      expect([firstSlug(current), firstSlug(former)]).toEqual([former, former])
    }
    expect(new Set(Object.values(formerly)).size).toBe(Object.keys(formerly).length)
    expect(['own:noise', 'constructor', '*'].map(currentSlug)).toEqual(['own:noise', 'constructor', '*'])
  })

  test('are the pairs of the migration', () => {
    const sql = readFileSync('prisma/migrations/20261129194000_trade_words/migration.sql', 'utf8')
    const pairs = [...sql.matchAll(/^ {2}\('([^']+)', '([^']+)'\)[,;]$/gm)].map(([, former, current]) => [
      former,
      current,
    ])
    expect(pairs.length).toBeGreaterThan(0)
    expect(Object.fromEntries(pairs)).toEqual(formerly)
  })

  test('a command as an old phone says it is understood, and its rows keep the ids they have', () => {
    const id = '019b5044-1dc0-740c-a98d-3bc3bd00aed5'
    const equipmentId = '01a22751-0ed5-7001-897a-f37b91173138'
    const said = visitCommandSchema.parse({
      ...{ id, businessId: id, visitId: id, version: 1, madeAt: '2026-11-29T13:40:00.000Z', deviceId: 'phone' },
      ...{ deviceSeq: 0, kind: 'visit.work', equipmentId, task: 'protein-skimmer/replace-rotor', partial: false },
      looks: [{ equipmentId, mode: 'protein-skimmer/rotor-film', asFound: 'ok', depth: 'opened' }],
      renewals: [{ mode: 'protein-skimmer/rotor-film', reason: 'schedule' }],
    })
    expect(said).toMatchObject({
      task: 'protein-skimmer/replace-impeller',
      looks: [{ mode: 'protein-skimmer/impeller-film' }],
      renewals: [{ mode: 'protein-skimmer/impeller-film' }],
    })
    const ids = (mode: string) => [lookRowId(id, { equipmentId, mode }), renewalRowId(id, mode)]
    expect(ids('protein-skimmer/impeller-film')).toEqual(ids('protein-skimmer/rotor-film'))
    // Python's uuid.uuid5(command, 'look <device> protein-skimmer/rotor-film') and (command, 'renewal protein-skimmer/rotor-film').
    expect(ids('protein-skimmer/impeller-film')).toEqual([
      'd884af67-cbbf-559d-8b53-57c6a3c25389',
      '1d10ec4f-6b76-532d-831a-0d1516087868',
    ])
  })

  test('old files keep their keys: words known since the first version, and words that became known later', () => {
    const former = fingerprint('equipment', ['tank', 'canister-filter', null])
    expect(equipmentKey('tank', 'external-filter', null)).toBe(former)
    const mode = (words: string) => failureModeOf('protein-skimmer', words)
    expect(mode('rotor film')).toMatchObject({
      slug: 'protein-skimmer/impeller-film',
      key: 'protein-skimmer/rotor-film',
    })
    // Nobody understood this one before: rows that said so were kept under their own words.
    expect(mode('impeller film')).toMatchObject({ slug: 'protein-skimmer/impeller-film', key: 'own:impeller film' })
    expect(mode('Bacterial film on magnet and well')).toEqual({
      ...mode('rotor film'),
      words: 'Bacterial film on magnet and well',
    })
    expect(failureModeOf('dosing-pump', 'Tube tired')).toMatchObject({
      slug: 'dosing-pump/tube-tired',
      key: 'dosing-pump/tube-tired',
    })
    expect(failureModeOf('heater', 'gnawed')).toMatchObject({ slug: 'own:gnawed', key: 'own:gnawed', known: false })
  })
})
