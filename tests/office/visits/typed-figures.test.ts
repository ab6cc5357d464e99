import { describe, expect, test } from 'vitest'
import { storedDeviceReading } from '@/lib/office/visits/device-reading'
import { formFields } from '@/lib/office/visits/form-fields'
import { sayingOf } from '@/lib/office/visits/read-form'
import { typedReading } from '@/lib/office/visits/water'

const typed = (quantity: string, enteredValue: string, enteredUnit: string) =>
  typedReading({ quantity, enteredValue, enteredUnit })
const wear = (quantity: string, enteredValue: string, enteredUnit: string, enteredInto = '') =>
  storedDeviceReading({ quantity, enteredValue, enteredUnit, enteredInto })
const formOf = (fields: Record<string, string>) => {
  const data = new FormData()
  for (const [name, value] of Object.entries(fields)) data.append(name, value)
  return sayingOf(formFields(data))
}

describe('what a hydrometer or refractometer shows', () => {
  test('is asked about where its unit was left at another: 1.025 is sea water, not fresh', () => {
    for (const unit of ['', 'ppt', 'PSU', 'g/kg'])
      expect(typed('salinity', '1.025', unit)).toEqual({
        wrong: 'Salinity: 1.025 looks like a specific gravity. Choose SG as its unit.',
      })
    expect(typed('salinity', '1,025', '')).toHaveProperty('wrong')
  })
  test('is taken as such, and other salinities as before', () => {
    expect(typed('salinity', '1.025', 'SG')).toMatchObject({ value: expect.closeTo(33.2, 1), unit: '' })
    expect(typed('salinity', '1.5', 'ppt')).toMatchObject({ value: 1.5 })
    expect(typed('salinity', '35', '')).toMatchObject({ value: 35 })
    expect(typed('salinity', '35', 'SG')).toHaveProperty('wrong')
  })
})

describe('a figure with a comma', () => {
  test('is a decimal where it can be nothing else', () => {
    expect(typed('pH', '8,8', '')).toMatchObject({ value: 8.8 })
    expect(typed('nitrate', '12,253', 'mg/L')).toMatchObject({ value: 12.253 })
    expect(typed('alkalinity', '2.853', 'meq/L')).toMatchObject({ value: 2.853 })
  })
  test('is asked about where thirteen hundred may be meant as well, in words that say how to write it', () => {
    for (const text of ['1,350', '1.350'])
      expect(typed('magnesium', text, 'mg/L')).toEqual({
        wrong: `Magnesium: ${text} can be read in two ways. Write 1350 or 1.35.`,
      })
    expect(typed('magnesium', '1350', 'mg/L')).toMatchObject({ value: 1350 })
    expect(typed('magnesium', '1.35', 'mg/L')).toMatchObject({ value: 1.35 })
    expect(wear('flow', '1,200', 'L/h')).toHaveProperty('wrong')
    expect(wear('lamp-hours', '1,200', 'h')).toEqual({
      wrong: 'Lamp hours: 1,200 can be read in two ways. Write 1200 or 1.2.',
    })
    expect(wear('rejection', '10', 'ppm', '1,200')).toHaveProperty('wrong')
  })
  test('is read in a level, or no level at all', () => {
    expect(formOf({ kind: 'visit.levels', 'before|a': '8,8', 'after|a': '1,500' })).toMatchObject({
      levels: [{ levelBefore: 8.8, levelAfter: Number.NaN }],
    })
    expect(formOf({ kind: 'visit.use-part', quantity: '0,5' })).toMatchObject({ quantity: 0.5 })
    expect(formOf({ kind: 'visit.use-part', quantity: '1,500' })).toMatchObject({ quantity: Number.NaN })
  })
})
