import { expect, test } from 'vitest'
import { issuedWords } from '@/lib/office/money/issued-words'

const lost = (place: number) => ({
  ...{ invoiceId: `i${place}`, number: null, isMeanwhile: true },
  words: `INV-${place} is issued and cannot change.`,
})

test('what was issued meanwhile is one sentence, however many they were', () => {
  const issued = Array.from({ length: 27 }, (_, place) => lost(place))
  expect(issuedWords(issued)).toBe('No invoice was issued. 27 were issued meanwhile.')
  expect(issuedWords([{ invoiceId: 'a', number: 'INV-0028', words: '' }, lost(1)])).toBe(
    'Issued: INV-0028. 1 was issued meanwhile.',
  )
})

test('other refusals are said in their own words, the same ones once', () => {
  const changed = { number: null, words: 'The draft has changed.', isMeanwhile: false }
  expect(
    issuedWords([
      { invoiceId: 'a', ...changed },
      { invoiceId: 'b', ...changed },
    ]),
  ).toBe('No invoice was issued. The draft has changed.')
})
