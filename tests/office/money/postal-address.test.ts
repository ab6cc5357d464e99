import { expect, test } from 'vitest'
import { addressLines, streetLinesOf } from '@/lib/office/money/postal-address'

// Orders: Universal Postal Union, addressing formats by country (from memory); the addresses are invented.
test.each([
  ['GB', { place: 'Port Ellery', postcode: 'PE1 2AB' }, ['12 Quay Road', 'Port Ellery', 'PE1 2AB']],
  [
    'IE',
    { place: 'Kilmarra', region: 'Co. Wexford', postcode: 'Y00 X000' },
    ['12 Quay Road', 'Kilmarra', 'Co. Wexford', 'Y00 X000'],
  ],
  ['US', { place: 'Yonkers', region: 'NY', postcode: '10701' }, ['12 Quay Road', 'Yonkers, NY 10701']],
  ['US', { place: 'Yonkers' }, ['12 Quay Road', 'Yonkers']],
  ['CA', { place: 'Halifax', region: 'NS', postcode: 'B3H 0A0' }, ['12 Quay Road', 'Halifax NS B3H 0A0']],
  ['AU', { place: 'Hobart', region: 'TAS', postcode: '7000' }, ['12 Quay Road', 'Hobart TAS 7000']],
  ['NZ', { place: 'Wellington', postcode: '6011' }, ['12 Quay Road', 'Wellington 6011']],
  ['DE', { place: 'Norderbüll', postcode: '25899' }, ['12 Quay Road', '25899 Norderbüll']],
  ['FR', { place: 'Brest', postcode: '29200' }, ['12 Quay Road', '29200 Brest']],
  ['IT', { place: 'Roma', region: 'RM', postcode: '00184' }, ['12 Quay Road', '00184 Roma RM']],
  ['', { place: 'Port Ellery', postcode: 'PE1 2AB' }, ['12 Quay Road', 'Port Ellery', 'PE1 2AB']],
])('%s: %j', (country, given, lines) => {
  const blank = { place: '', region: '', postcode: '' }
  const address = { ...blank, streetLines: ['12 Quay Road'], country, ...given }
  expect(addressLines(address, { home: country || 'GB', language: 'en-GB' })).toEqual(lines)
})

test('what goes abroad names its country last, in capitals; what stays does not', () => {
  const address = { streetLines: ['Am Deich 7'], place: 'Norderbüll', region: '', postcode: '25899', country: 'DE' }
  expect(addressLines(address, { home: 'GB', language: 'en-GB' })).toEqual([
    'Am Deich 7',
    '25899 Norderbüll',
    'GERMANY',
  ])
  expect(addressLines(address, { home: 'DE', language: 'de-DE' })).toEqual(['Am Deich 7', '25899 Norderbüll'])
  expect(addressLines(address, { home: 'DE', readIn: 'AT', language: 'de-DE' }).at(-1)).toBe('DEUTSCHLAND')
})

test('one text becomes street lines and loses nothing but line breaks and the blanks around them', () => {
  const typed = 'The Old Mill, Unit 4\r\n  12 Quay Road, Port Ellery \n\nPE1 2AB'
  expect(streetLinesOf(typed)).toEqual(['The Old Mill, Unit 4', '12 Quay Road, Port Ellery', 'PE1 2AB'])
  expect(streetLinesOf(typed).join('').replace(/\s/g, '')).toBe(typed.replace(/\s/g, ''))
})
