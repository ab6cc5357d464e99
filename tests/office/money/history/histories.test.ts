import { expect, test } from 'vitest'
import { OfficeInMemory } from './office-in-memory'
import { randomHistory } from './random-history'
import { walkHistory } from './walk'

// Held against an account written apart, day by day (`account-apart.ts`): nothing twice, nothing forgotten, every credit given up or
// billable again, shares that add up. 100 others in `npm run prove`.
test('50 histories of three years and more: what is billed is what an account apart says, at every step', async () => {
  const met = { invoicesOf: 0, lines: 0, credits: 0, waivers: 0, over: 0, parts: 0 }
  for (let seed = 1; seed <= 50; seed += 1) {
    const one = await walkHistory(randomHistory(seed), new OfficeInMemory(), `history ${seed}`)
    for (const name of ['invoicesOf', 'lines', 'credits', 'waivers', 'over', 'parts'] as const) met[name] += one[name]
  }
  // It met what it is about: of each kind a good many.
  for (const count of Object.values(met)) expect(count).toBeGreaterThan(100)
}, 240_000)
