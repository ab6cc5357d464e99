import { beforeAll, expect, test } from 'vitest'
import { testDatabase } from '../../../setup/database'
import { OfficeOnPostgres } from './office-on-postgres'
import { randomHistory } from './random-history'
import { walkHistory } from './walk'

beforeAll(() => testDatabase())

// 3 others in `npm run prove`.
test('a history of eight months through the real commands on Postgres', async () => {
  for (const seed of [7]) {
    const office = await OfficeOnPostgres.open(`History ${seed}`)
    const met = await walkHistory(randomHistory(seed, 8), office, `history ${seed} on Postgres`)
    expect(met.lines).toBeGreaterThan(10)
  }
}, 300_000)
