/**
 * How long it takes to find a tank among 10,000, side by side with reading one tank by its key in the same run: what
 * counts is the ratio, not the milliseconds of this machine. Invented places; they serve no other purpose.
 *
 *   node --conditions=react-server --import tsx tests/bench/register-search.ts
 *
 * Uses DATABASE_URL's server (else the embedded one) with a database of its own, which it drops.
 */
import { newId } from '@/lib/new-id'
import { type Actor, inBusiness } from '@/lib/office/frame/actor'
import { listTanks } from '@/lib/office/tanks/queries'
import { asOwner, withBenchDatabase } from './bench-database'
import { median, timed } from './timing'

const TANKS = 10_000
const SITES = 4_000
const CLIENTS = 2_500
const ROUNDS = 25

/** Two businesses of the same size, so that the row policies have something to keep apart. */
async function fill(): Promise<Actor> {
  const actors = ['One', 'Two'].map((name): Actor => {
    return { businessId: newId(), personId: newId(), membershipId: newId(), roles: ['owner'], name }
  })
  for (const actor of actors)
    await inBusiness(
      actor,
      async (tx) => {
        const { businessId } = actor
        await tx.business.create({ data: { id: businessId, name: actor.name } })
        await tx.$executeRaw`INSERT INTO client (business_id, id, name, email)
          SELECT ${businessId}::uuid, gen_random_uuid(), 'Client ' || n || ' ' || (ARRAY['School', 'Library', 'Hotel', 'Clinic'])[n % 4 + 1],
                 'office' || n || '@client.example' FROM generate_series(1, ${CLIENTS}::int) n`
        await tx.$executeRaw`INSERT INTO site (business_id, id, client_id, name, address, postcode, city)
          SELECT ${businessId}::uuid, gen_random_uuid(), client.id, 'Site ' || n, n || ' Quay Road', 'PE' || n % 90 || ' 2QR', 'Port ' || n % 40
          FROM generate_series(1, ${SITES}::int) n JOIN (SELECT id, row_number() OVER (ORDER BY id) AS place FROM client) client
          ON client.place = n % ${CLIENTS}::int + 1`
        await tx.$executeRaw`INSERT INTO tank (business_id, id, client_id, site_id, name, profile, volume_l)
          SELECT ${businessId}::uuid, gen_random_uuid(), site.client_id, site.id, 'Tank ' || n || ' ' || (ARRAY['hall', 'reception', 'office'])[n % 3 + 1], 'reef', 50 + n % 900
          FROM generate_series(1, ${TANKS}::int) n JOIN (SELECT id, client_id, row_number() OVER (ORDER BY id) AS place FROM site) site
          ON site.place = n % ${SITES}::int + 1`
      },
      { timeoutMs: 120_000 },
    )
  const [first] = actors
  if (!first) throw new Error('there is no business')
  return first
}

async function measure(actor: Actor): Promise<void> {
  const page = (q: string, at = 1) => listTanks(actor, { q, archived: '', page: at })
  const { rows, total } = await page('')
  if (total !== TANKS) throw new Error(`expected ${TANKS} tanks, found ${total}`)
  const id = rows[0]?.id ?? ''
  const byKey = () =>
    inBusiness(actor, (tx) =>
      tx.tank.findUnique({ where: { businessId_id: { businessId: actor.businessId, id } }, select: { name: true } }),
    )
  const cases: [string, () => Promise<{ total: number }>][] = [
    ['first page, no words', () => page('')],
    ['last page, no words', () => page('', TANKS / 50)],
    ['one word that a third has', () => page('hall')],
    ['two words that few have', () => page('school pe17')],
    ['a word that none has', () => page('nowhere')],
  ]
  await byKey()
  for (const [words, run] of cases) {
    const found = (await run()).total
    const key: number[] = []
    const search: number[] = []
    for (let round = 0; round < ROUNDS; round++) {
      key.push(await timed(byKey))
      search.push(await timed(run))
    }
    const [keyMs, searchMs] = [median(key), median(search)]
    process.stdout.write(
      `${words.padEnd(28)} ${String(found).padStart(6)} found  ${searchMs.toFixed(1).padStart(7)} ms  ` +
        `${(searchMs / keyMs).toFixed(1)} times a read by key (${keyMs.toFixed(1)} ms)\n`,
    )
  }
}

await withBenchDatabase(async ({ ownerUrl }) => {
  const actor = await fill()
  await asOwner(ownerUrl, 'analyze')
  await measure(actor)
})
