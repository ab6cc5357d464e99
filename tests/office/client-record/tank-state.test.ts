import { expect, test } from 'vitest'
import { tankState } from '@/lib/office/client-record/tank-state'

const line = (name: string, how: 'fine' | 'off' | 'far' | 'unknown') => ({ name, how })

test('names what is not as it should be, the worst first, and a visit that was left open', () => {
  expect(tankState('done', [line('Salinity', 'fine'), line('pH', 'fine')])).toEqual({
    words: 'The water is as it should be.',
    isFine: true,
  })
  expect(
    tankState('done', [
      line('Nitrate', 'off'),
      line('pH', 'off'),
      line('Temperature', 'far'),
      line('Salinity', 'fine'),
    ]),
  ).toEqual({
    words:
      'In the water, temperature was far from where it should be. In the water, nitrate and pH were not quite as they should be.',
    isFine: false,
  })
  expect(tankState('cut_short', [line('Nitrate', 'off')])).toEqual({
    words: 'In the water, nitrate was not quite as it should be. We come back for what was left undone.',
    isFine: false,
  })
  expect(tankState('no_access', [])?.isFine).toBe(false)
})

test('says nothing where nothing is known, and no water is called good that has no target', () => {
  expect(tankState(null, [])).toBeNull()
  expect(tankState('done', [line('Magnesium', 'unknown')])).toBeNull()
})
