import { describe, expect, test } from 'vitest'
import { FIRST_ON_THE_PHONE, PHONE_SIGNS, phoneScriptsFor, phoneSignWords } from '@/lib/trade/phone-scripts'

// What the scripts say is common practice, no source; here only that each tank is told what it has.
const bare = { tankKind: 'reef', fitted: [], stings: false } as const
const tellOf = (slug: string, tank: Parameters<typeof phoneScriptsFor>[0]) =>
  phoneScriptsFor(tank)
    .find((script) => script.slug === slug)
    ?.tell.map(({ text }) => text)
    .join(' ') ?? ''

describe('what to tell whoever rings', () => {
  test('people come first, and electricity before water', () => {
    expect(FIRST_ON_THE_PHONE[0]).toMatch(/hurt.*emergency/)
    expect(FIRST_ON_THE_PHONE[1]).toMatch(/sockets.*dry/)
    for (const { tell } of phoneScriptsFor({ ...bare, fitted: ['heater', 'return-pump'] }))
      expect(tell.length).toBeGreaterThan(0)
  })

  test('what the tank does not have is not said', () => {
    expect(tellOf('gasping', bare)).not.toContain('CO2')
    expect(tellOf('gasping', { ...bare, tankKind: 'planted', fitted: ['carbon-dioxide-set'] })).toContain('CO2')
    expect(phoneScriptsFor(bare).map(({ slug }) => slug)).not.toContain('cup-overflows')
    expect(tellOf('cup-overflows', { ...bare, fitted: ['protein-skimmer'] })).toContain('SKIMMER')
    expect(tellOf('cloudy', { tankKind: 'planted', fitted: ['dosing-pump'], stings: false })).not.toContain('DOSING')
  })

  test('nobody is told to net something out of a tank in which something stings', () => {
    expect(tellOf('dead-fish', { ...bare, stings: true })).toMatch(/Leave it in/)
    expect(tellOf('dead-fish', { ...bare, stings: true })).not.toMatch(/Net it out/)
    expect(tellOf('dead-fish', bare)).toMatch(/Net it out/)
  })

  test('of two limits the one for this kind of tank is said', () => {
    const when = (tankKind: 'reef' | 'cold-water') =>
      phoneScriptsFor({ ...bare, tankKind })
        .find(({ slug }) => slug === 'too-hot')
        ?.when.map(({ text }) => text)
    expect(when('reef')).toEqual([expect.stringContaining('30 °C')])
    expect(when('cold-water')).toEqual([expect.stringContaining('26 °C')])
  })

  test('every slug has its words', () => {
    for (const slug of PHONE_SIGNS) expect(phoneSignWords(slug)).toMatch(/^[A-Z]/)
    expect(phoneSignWords('other')).toBeNull()
  })
})
