import { describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { readVolumeL, volumeIn } from '@/lib/office/frame/typed-figures'
import { addTankSchema, agreementSchema, EMPTY_TANK, equipmentRowSchema } from '@/lib/office/tanks/schema'

const ids = () => ({ commandId: newId(), businessId: newId() })
const tank = (fields: Record<string, unknown> = {}) => ({
  ...ids(),
  ...EMPTY_TANK,
  siteId: newId(),
  name: 'Hall',
  profile: 'reef',
  volume: '450',
  equipment: [],
  ...fields,
})
const problemsOf = (fields: Record<string, unknown>) => {
  const parsed = addTankSchema.safeParse(tank(fields))
  return parsed.success ? [] : parsed.error.issues.map((issue) => issue.path.join('.'))
}

describe('the take-over form', () => {
  test('what is accepted is what was typed, without the blanks around it', () => {
    const typed = tank({ volume: ' 62,5 ', name: ' Hall ' })
    expect(addTankSchema.parse(typed)).toEqual({ ...typed, volume: '62,5', name: 'Hall' })
  })

  test.each(['', '0', '-3', 'big', '1,500', '1.500', '1e9', '9999999999'])('refuses the volume "%s"', (volume) => {
    expect(problemsOf({ volume })).toEqual(['volume'])
  })

  test('the glass holds at least the true water', () => {
    expect(problemsOf({ volume: '450', grossVolume: '400' })).toEqual(['grossVolume'])
    expect(problemsOf({ volume: '450', grossVolume: '520' })).toEqual([])
  })

  test('everything wrong is named at once, at its own field', () => {
    const problems = problemsOf({ siteId: '', name: '', profile: '', volume: 'x', levelMarkSumpMm: 'high' })
    expect(problems.sort()).toEqual(['levelMarkSumpMm', 'name', 'profile', 'siteId'])
  })

  test('the age of a device is a day or said to be unknown, and asked for', () => {
    const row = { id: newId(), equipmentClass: 'heater', label: 'Heater', note: '' }
    const accepts = (age: object) => equipmentRowSchema.safeParse({ ...row, ...age }).success
    expect(accepts({ installed: 'unknown', installedOn: '', confirmedNew: false })).toBe(true)
    expect(accepts({ installed: 'on', installedOn: '2025-03-01', confirmedNew: true })).toBe(true)
    expect(accepts({ installed: 'on', installedOn: '', confirmedNew: false })).toBe(false)
    expect(accepts({ installedOn: '', confirmedNew: false })).toBe(false)
  })
})

describe('volumes', () => {
  // US gallon of 231 cubic inches: NIST Handbook 44, appendix C; imperial gallon: UK SI 1995/1804.
  test.each([
    ['100', 'us_gal', 378.541],
    ['100', 'imp_gal', 454.609],
    ['62,5', 'L', 62.5],
  ] as const)('%s %s are %d L', (text, unit, litres) => {
    expect(readVolumeL(text, unit)).toBe(litres)
  })

  test.each(['L', 'us_gal', 'imp_gal'] as const)(
    'a figure shown in %s is read back within half its last digit',
    (unit) => {
      for (const litres of [0.5, 62.5, 236.588, 4321.9]) {
        const back = readVolumeL(String(volumeIn(unit, litres)), unit) ?? Number.NaN
        expect(Math.abs(back - litres)).toBeLessThanOrEqual(0.005 * 4.54609 + 0.0005)
      }
    },
  )
})

describe('an agreement', () => {
  const agreement = {
    ...ids(),
    tankId: newId(),
    every: '2',
    everyUnit: 'weeks',
    anchorOn: '2026-01-05',
    startsOn: '2026-01-05',
    visitMinutes: '45',
    monthlyFee: '184.00',
    currency: 'GBP',
    includes: '',
    preferredPersonId: '',
    purchaseOrder: '',
  }
  test.each([
    [{ monthlyFee: '1.297' }, 'monthlyFee'],
    [{ monthlyFee: '-5' }, 'monthlyFee'],
    [{ every: '0' }, 'every'],
    [{ every: '60' }, 'every'],
    [{ visitMinutes: '2' }, 'visitMinutes'],
    [{ startsOn: '2026-02-30' }, 'startsOn'],
  ])('refuses %j', (change, field) => {
    const parsed = agreementSchema.safeParse({ ...agreement, ...change })
    expect(parsed.error?.issues.map((issue) => issue.path.join('.'))).toEqual([field])
  })
  test('accepts a fee in the currency’s own decimals', () => {
    expect(agreementSchema.safeParse(agreement).success).toBe(true)
    expect(agreementSchema.safeParse({ ...agreement, currency: 'JPY', monthlyFee: '184.00' }).success).toBe(false)
  })
})
