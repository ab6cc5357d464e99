/**
 * Random histories of what is billed, held against an account written apart: nothing twice, nothing forgotten. Of three years and more in memory,
 * and of eight months through the real commands on Postgres; other ones than the 50 and the one in `npm test`. On a quiet core one in memory takes
 * half a second, and one on Postgres twenty; `npm run prove -- --long` runs two thousand and twenty.
 */
import { beforeAll, expect, test } from 'vitest'
import { OfficeInMemory } from '../office/money/history/office-in-memory'
import { OfficeOnPostgres } from '../office/money/history/office-on-postgres'
import { randomHistory } from '../office/money/history/random-history'
import { walkHistory } from '../office/money/history/walk'
import { testDatabase } from '../setup/database'

const HISTORIES =
  process.env.TANKROUND_PROVE === 'long' ? { inMemory: 2000, onPostgres: 20 } : { inMemory: 200, onPostgres: 4 }
const FIRST_SEED = 1001

beforeAll(() => testDatabase())

const seeds = (count: number) => Array.from({ length: count }, (_, at) => FIRST_SEED + at)

test(`${HISTORIES.inMemory} histories of three years and more in memory are billed as an account apart says`, async () => {
  let lines = 0
  for (const seed of seeds(HISTORIES.inMemory))
    lines += (await walkHistory(randomHistory(seed), new OfficeInMemory(), `history ${seed}`)).lines
  expect(lines).toBeGreaterThan(50 * HISTORIES.inMemory)
})

test(`${HISTORIES.onPostgres} of eight months through the real commands on Postgres`, async () => {
  let lines = 0
  for (const seed of seeds(HISTORIES.onPostgres)) {
    const office = await OfficeOnPostgres.open(`History ${seed}`)
    lines += (await walkHistory(randomHistory(seed, 8), office, `history ${seed} on Postgres`)).lines
  }
  expect(lines).toBeGreaterThan(10 * HISTORIES.onPostgres)
})
