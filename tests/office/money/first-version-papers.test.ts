import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { commandLineActor } from '@/lib/entry/command-line-actor'
import type { Actor } from '@/lib/office/frame/actor'
import { inBusiness } from '@/lib/office/frame/actor'
import { invoiceFile } from '@/lib/office/money/queries'
import { UNIT_WORDS } from '@/lib/office/money/units'
import { closeDatabase } from '@/lib/platform/db/client'
import { firstVersionDatabase, firstVersionSample } from '../../setup/first-version'

// Held against the 80 papers of `../shared/samples/first-version` as the version before printed them: SHA-256 of what pdftotext -raw reads, blanks
// made one. What was issued says what it said, whatever papers say since.
const printed: Record<string, string> = JSON.parse(readFileSync('tests/reference/first-version-papers.json', 'utf8'))

function hasPoppler(): boolean {
  try {
    execFileSync('pdftotext', ['-v'], { stdio: 'ignore' })
    return true
  } catch {
    return false
  }
}
const ready = firstVersionSample() !== null && hasPoppler()
if (!ready)
  console.warn('skipped: ../shared/samples/first-version is not beside this checkout, or poppler-utils is missing')

describe.skipIf(!ready)('papers of the first version', () => {
  let folder = ''
  let actor: Actor

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'first-papers-'))
    const urls = await firstVersionDatabase(path.join(folder, 'files'))
    await closeDatabase()
    process.env.APP_DATABASE_URL = urls.appUrl
    process.env.IDENTITY_DATABASE_URL = urls.identityUrl
    actor = await commandLineActor('Harbour Lane Aquarium Care')
  }, 300_000)
  afterAll(async () => {
    await closeDatabase()
    await rm(folder, { recursive: true, force: true })
  })

  test('print the same amounts and words', async () => {
    const rows = await inBusiness(actor, (tx) =>
      tx.invoice.findMany({ where: { state: 'issued' }, select: { id: true, number: true } }),
    )
    const said: Record<string, string> = {}
    for (const { id, number } of rows) {
      const file = path.join(folder, 'paper.pdf')
      await writeFile(file, (await invoiceFile(actor, id, { standing: false }))?.bytes ?? '')
      const text = execFileSync('pdftotext', ['-raw', file, '-'], { encoding: 'utf8' }).replace(/\s+/g, ' ').trim()
      said[number ?? ''] = createHash('sha256').update(text).digest('hex')
    }
    expect(Object.keys(said)).toHaveLength(80)
    expect(said).toEqual(printed)
  }, 300_000)

  test('their lines and the price list have unit codes, their clients an address that lost nothing', async () => {
    const units = await inBusiness(actor, async (tx) => [
      ...(await tx.invoiceLine.findMany({ select: { unit: true, unitCode: true } })),
      ...(await tx.priceItem.findMany({ select: { unit: true, unitCode: true } })),
    ])
    expect(new Set(units.map(({ unitCode }) => unitCode)).size).toBeGreaterThan(2)
    for (const { unit, unitCode } of units) expect(unitCode, unit).toBe(UNIT_WORDS.get(unit.toLowerCase()) ?? 'C62')
    const client = await inBusiness(actor, (tx) =>
      tx.client.findFirstOrThrow({ where: { name: 'Yarrow Lane Surgery' } }),
    )
    expect(client).toMatchObject({
      billingAddress: '53 Yarrow Lane',
      billingPostcode: 'PE1 2AB',
      billingCity: 'Port Ellery',
    })
  })
})
