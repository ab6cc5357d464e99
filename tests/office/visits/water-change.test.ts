import { beforeAll, describe, expect, test } from 'vitest'
import { waterChanged, waterChangeWords } from '@/lib/office/visits/water-change'
import { inScope } from '@/lib/platform/db/scope'
import { bookVisit, makePhone, makeRound, type Round } from './round'
import { recordOf, sendAs } from './say'

const typed = { amount: '15', unit: '%' as const, newSalinity: '', newSalinityUnit: '', newTemperatureC: '' }

describe('water changed, as typed', () => {
  test('a share, litres and gallons are litres of the tank', () => {
    expect(waterChanged(typed, 450)).toEqual({ volumeL: 67.5, salinity: null, temperatureC: null })
    expect(waterChanged({ ...typed, amount: '12,5', unit: 'L' }, 450)).toMatchObject({ volumeL: 12.5 })
    // US gallon: 231 cubic inches exactly, NIST Handbook 44, Appendix C; imperial: 4.54609 L exactly, UK SI 1995/1804.
    expect(waterChanged({ ...typed, amount: '10', unit: 'us_gal' }, 450)).toMatchObject({ volumeL: 37.854 })
    expect(waterChanged({ ...typed, amount: '10', unit: 'imp_gal' }, 450)).toMatchObject({ volumeL: 45.461 })
    const reef = { ...typed, newSalinity: '35', newSalinityUnit: 'ppt', newTemperatureC: '24,5' }
    expect(waterChanged(reef, 450)).toMatchObject({ salinity: 35, temperatureC: 24.5 })
  })

  test('what cannot be is told in words', () => {
    for (const wrong of [
      { ...typed, amount: '0' },
      { ...typed, amount: '101' },
      { ...typed, amount: '451', unit: 'L' as const },
      { ...typed, amount: '1,500', unit: 'L' as const },
      { ...typed, newTemperatureC: '80' },
      { ...typed, newSalinity: '350', newSalinityUnit: 'ppt' },
      { ...typed, newSalinity: '35', newSalinityUnit: '°C' },
    ])
      expect(waterChanged(wrong, 450)).toMatchObject({ wrong: expect.stringMatching(/^(Water changed|New water)/) })
  })

  test('its words say the other figure too', () => {
    expect(waterChangeWords(typed, 450)).toBe('15 % (68 L)')
    expect(waterChangeWords({ amount: '90', unit: 'L' }, 450)).toBe('90 L (20 %)')
  })
})

describe('at a visit', () => {
  let round: Round
  beforeAll(async () => {
    round = await makeRound()
  })

  test('each change is a row in litres; taken back it counts for nothing; too much is refused', async () => {
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId)
    const said = (over: Partial<typeof typed>) => say({ kind: 'visit.water-change', ...typed, ...over })
    const [first, second] = [said({}), said({ amount: '10' })]
    expect(await sendAs(round.actor, first, second, said({ amount: '120' }))).toMatchObject([
      { ok: true },
      { ok: true },
      { ok: false, reason: 'does-not-fit' },
    ])
    expect((await recordOf(round, visitId)).waterChanges.map(({ amount }) => amount).sort()).toEqual(['10', '15'])
    await sendAs(round.actor, say({ kind: 'visit.take-back', takesBack: second.id }))
    expect((await recordOf(round, visitId)).waterChanges).toHaveLength(1)
    const standing = await inScope(round.scope, (tx) =>
      tx.waterChange.findMany({ where: { visitId, isTakenBack: false, correctedBy: { is: null } } }),
    )
    expect(standing.map(({ volumeL }) => volumeL.toNumber())).toEqual([67.5])
    // Their client reads it, nobody else's does.
    const client = (clientId: string) => ({ ...round.scope, role: 'client', clientId }) as const
    const seenBy = (clientId: string) => inScope(client(clientId), (tx) => tx.waterChange.count({ where: { visitId } }))
    expect(await seenBy(round.clientId)).toBeGreaterThan(0)
    expect(await seenBy(round.otherClientId)).toBe(0)
  })
})
