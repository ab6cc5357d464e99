/**
 * Random histories of what is billed, held against an account written apart: nothing twice, nothing forgotten. 100 of three years and more in
 * memory and 3 of eight months on Postgres, other ones than the 50 and the one in `npm test`: about five minutes on two busy cores, as one history
 * takes 1.5 s in memory and eight months take 45 s through the real commands. More seeds need nothing but time.
 */
import { beforeAll, expect, test } from 'vitest'
import { OfficeInMemory } from '../office/money/history/office-in-memory'
import { OfficeOnPostgres } from '../office/money/history/office-on-postgres'
import { randomHistory } from '../office/money/history/random-history'
import { walkHistory } from '../office/money/history/walk'
import { testDatabase } from '../setup/database'

beforeAll(() => testDatabase())

test('100 histories of three years and more in memory are billed as an account apart says', async () => {
  let lines = 0
  for (let seed = 1001; seed <= 1100; seed += 1)
    lines += (await walkHistory(randomHistory(seed), new OfficeInMemory(), `history ${seed}`)).lines
  expect(lines).toBeGreaterThan(5000)
})

test('3 of eight months through the real commands on Postgres', async () => {
  let lines = 0
  for (let seed = 1001; seed <= 1003; seed += 1) {
    const office = await OfficeOnPostgres.open(`History ${seed}`)
    lines += (await walkHistory(randomHistory(seed, 8), office, `history ${seed} on Postgres`)).lines
  }
  expect(lines).toBeGreaterThan(30)
})
