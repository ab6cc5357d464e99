import { beforeAll, describe, expect, test } from 'vitest'
import { actorOf } from '@/lib/office/people/actor-of'
import { makeFirstBusiness, noBusinessYet } from '@/lib/office/people/first-run'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { asIdentity } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'

beforeAll(async () => {
  await testDatabase()
})

describe('the first run', () => {
  test('of two at the same moment one makes the business, and only that one', async () => {
    expect(await noBusinessYet()).toBe(true)
    const run = (who: string) =>
      makeFirstBusiness({
        businessName: `Business of ${who}`,
        name: who,
        email: `${who}@round.example`,
        password: 'a long enough password',
        timeZone: 'Europe/London',
        currency: 'GBP',
      })
    const results = await Promise.all(['anna', 'ben', 'cleo', 'dan'].map(run))
    expect(results.filter((result) => result.ok)).toHaveLength(1)
    expect(results.filter((result) => !result.ok && result.reason === 'not-first')).toHaveLength(3)
    expect(await asIdentity((tx) => tx.business.count())).toBe(1)
    expect(await asIdentity((tx) => tx.login.count())).toBe(1)
    expect(await noBusinessYet()).toBe(false)
  })

  test('its owner can sign in and is an owner', async () => {
    const login = await asIdentity((tx) => tx.login.findFirstOrThrow())
    const claims = await lookUpLogin({ email: login.email, password: 'a long enough password', address: '192.0.2.1' })
    expect(claims && (await actorOf(claims))?.roles).toEqual(['owner'])
  })
})
