import { expect, test } from 'vitest'
import { quantity, unitPrice } from '@/lib/office/money/money-fields'

test('the minus that screens print (U+2212) is read as a minus', () => {
  expect(quantity.parse('\u22122')).toBe('-2')
  expect(unitPrice.parse('\u2212£6,40')).toBe('-6.40')
})

test('a comma in a quantity that may group thousands is asked about: litres have three decimals', () => {
  expect(quantity.safeParse('1,297').error?.issues[0]?.message).toBe('Write it without a comma: 1297 or 1.297.')
})
