import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, test } from 'vitest'
import { PhoneLink } from '@/components/paper'

const called = (phone: string) =>
  [...renderToStaticMarkup(<PhoneLink phone={phone} />).matchAll(/tel:([^"]*)/g)].map(([, number]) => number)
const read = (phone: string) => renderToStaticMarkup(<PhoneLink phone={phone} />).replaceAll(/<[^>]*>/g, '')

// The numbers are of Ofcom's range for drama, 01632 960000 and 07700 900000 and on.
describe('what stands under "Phone"', () => {
  test.each([
    ['01632 960 123', ['01632960123']],
    ['(01632) 960-123', ['01632960123']],
    ['+44 1632 960123', ['+441632960123']],
    ['+44 (0)1632 960123', ['+441632960123']],
    ['01632 960 123 / mob. 07700 900456 after 4pm', ['01632960123', '07700900456']],
    ['ext. 14', []],
    ['ask at the bar', []],
    ['', []],
  ])('"%s" calls each number in it and nothing else', (phone, numbers) => {
    expect(called(phone)).toEqual(numbers)
    expect(read(phone)).toBe(phone)
  })
})
