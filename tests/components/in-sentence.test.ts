import { expect, test } from 'vitest'
import { inSentence } from '@/components/paper/in-sentence'

test('a name starts small inside a sentence, unless its capitals are part of it', () => {
  const names = ['Protein skimmer', 'CO2 set', 'UV unit', 'pH probe', 'LED light', 'Fit a new UV lamp']
  expect(names.map(inSentence)).toEqual([
    'protein skimmer',
    'CO2 set',
    'UV unit',
    'pH probe',
    'LED light',
    'fit a new UV lamp',
  ])
})
