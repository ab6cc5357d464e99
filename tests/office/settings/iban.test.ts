import { describe, expect, test } from 'vitest'
import { countryChoices, countryCode, countryField, isCountry, optionalCountryField } from '@/lib/office/frame/country'
import { isTimeZone } from '@/lib/office/people/schema'
import { timeZoneChoices } from '@/lib/office/settings/choices'
import { isBic, isIban } from '@/lib/office/settings/iban'

describe('an IBAN', () => {
  // The examples printed in national descriptions of the IBAN registry (ISO 13616), from memory.
  test.each([
    'GB82WEST12345698765432',
    'BE68539007547034',
    'DE89370400440532013000',
    'NO9386011117947',
    'MT84MALT011000012345MTLCAST001S',
  ])('the published example %s is one', (iban) => expect(isIban(iban)).toBe(true))

  // ISO 7064 MOD 97-10 finds every single wrong sign and every swap of two neighbours.
  test.each(['GB82WEST12345698765432', 'BE68539007547034'])('one wrong digit or a swap in %s is found', (iban) => {
    for (let at = 4; at < iban.length; at++) {
      const sign = iban[at] ?? ''
      if (/\d/.test(sign)) {
        const wrong = String((Number(sign) + 1) % 10)
        expect(isIban(iban.slice(0, at) + wrong + iban.slice(at + 1))).toBe(false)
      }
      const next = iban[at + 1]
      if (next !== undefined && next !== sign)
        expect(isIban(iban.slice(0, at) + next + sign + iban.slice(at + 2))).toBe(false)
    }
  })

  test.each(['', 'GB82 WEST 1234 5698 7654 32', 'gb82west12345698765432', 'GB82', 'GB00WEST12345698765432'])(
    '%j is none',
    (iban) => expect(isIban(iban)).toBe(false),
  )
})

// Form of ISO 9362, from memory; made-up codes.
test.each([
  ['ABCDGB2L', true],
  ['ABCDGB2LXXX', true],
  ['ABCDGB2', false],
  ['ABCD1B2L', false],
])('BIC %s: %s', (bic, is) => expect(isBic(bic)).toBe(is))

test('time zones and countries are those of IANA and ISO 3166', () => {
  expect(isTimeZone('Europe/London') && isTimeZone('UTC')).toBe(true)
  expect(isTimeZone('Europe/Nowhere') || isTimeZone('+01:00') || isTimeZone('')).toBe(false)
  expect(timeZoneChoices().every(({ value }) => isTimeZone(value))).toBe(true)
  expect(isCountry('GB') && isCountry('DE')).toBe(true)
  expect(isCountry('QQ') || isCountry('gb') || isCountry('')).toBe(false)
})

// UK is reserved in ISO 3166-1 for the United Kingdom, whose code is GB; EU and UN are reserved too, and no countries.
test('a country is kept by its own code: papers are written by it', () => {
  expect(['uk', 'UK', ' gb', 'GB'].map(countryCode)).toEqual(['GB', 'GB', 'GB', 'GB'])
  expect(countryField.parse('uk')).toBe('GB')
  for (const none of ['EU', 'UN', 'ZZ', 'EL', 'G', '', 'QQ']) expect(countryField.safeParse(none).success).toBe(false)
  expect(optionalCountryField.safeParse('').success && optionalCountryField.safeParse('uk').success).toBe(true)
  expect(optionalCountryField.safeParse('un').success).toBe(false)
  const codes = countryChoices().map(({ value }) => value)
  expect(codes).toContain('GB')
  expect(codes).not.toContain('UK')
  // ISO 3166-1 has 249; Kosovo's code is not one of them, but in use.
  expect(Math.abs(codes.length - 250)).toBeLessThanOrEqual(1)
})
