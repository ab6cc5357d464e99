import { beforeAll, describe, expect, test } from 'vitest'
import { actorOf } from '@/lib/office/people/actor-of'
import { isFirstRunCode, makeFirstBusiness, newFirstRunCode, noBusinessYet } from '@/lib/office/people/first-run'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { asIdentity, inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'

beforeAll(async () => {
  await testDatabase()
})

const run = (who: string) => ({
  businessName: `Business of ${who}`,
  name: who,
  email: `${who}@round.example`,
  password: 'a long enough password',
  country: 'US',
  timeZone: 'Europe/London',
  currency: 'GBP',
})

describe('the first run', () => {
  test('where others can reach the page, only whoever knows the printed code begins', () => {
    for (const typed of ['', 'guess', 'right-cod', 'right-codes'])
      expect(isFirstRunCode(typed, 'right-code')).toBe(false)
    for (const typed of ['right-code', 'Right-code', 'right code ', 'RIGHTCODE'])
      expect(isFirstRunCode(typed, 'right-code')).toBe(true)
  })

  test('the code can be read off a terminal: nothing in it looks like something else', () => {
    const codes = Array.from({ length: 300 }, newFirstRunCode)
    for (const code of codes) expect(code).toMatch(/^[2-9a-hjkmnp-z]{4}-[2-9a-hjkmnp-z]{4}-[2-9a-hjkmnp-z]{4}$/)
    expect(new Set(codes).size).toBe(codes.length)
  })

  test('a password made of one’s own name is refused in words, and nothing is made', async () => {
    expect(await makeFirstBusiness({ ...run('eve'), password: 'business of eve' })).toMatchObject({
      reason: 'weak-password',
      words: expect.stringContaining('your name'),
    })
    expect(await noBusinessYet()).toBe(true)
  })

  test('of two at the same moment one makes the business, and only that one', async () => {
    expect(await noBusinessYet()).toBe(true)
    const results = await Promise.all(['anna', 'ben', 'cleo', 'dan'].map((who) => makeFirstBusiness(run(who))))
    expect(results.filter((result) => result.ok)).toHaveLength(1)
    expect(results.filter((result) => !result.ok && result.reason === 'not-first')).toHaveLength(3)
    expect(await asIdentity((tx) => tx.business.count())).toBe(1)
    expect(await asIdentity((tx) => tx.login.count())).toBe(1)
    expect(await noBusinessYet()).toBe(false)
  })

  test('it writes as its country does', async () => {
    const { country, locale, volumeUnit, defaultTaxCategory } = await inOffice()
    expect({ country, locale, volumeUnit, defaultTaxCategory }).toEqual({
      country: 'US',
      locale: 'en-US',
      volumeUnit: 'us_gal',
      defaultTaxCategory: 'O',
    })
  })

  test('its owner can sign in and is an owner', async () => {
    const login = await asIdentity((tx) => tx.login.findFirstOrThrow())
    const claims = await lookUpLogin({ email: login.email, password: 'a long enough password', address: '192.0.2.1' })
    expect(claims && (await actorOf(claims))?.roles).toEqual(['owner'])
  })
})

/** The only business, as the office reads it. */
async function inOffice() {
  const { businessId, personId } = await asIdentity((tx) => tx.membership.findFirstOrThrow())
  return inScope({ role: 'office', businessId, personId: personId ?? '' }, (tx) => tx.business.findFirstOrThrow())
}
