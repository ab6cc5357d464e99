import { expect, test } from 'vitest'
import { listed, plainVisit, type VisitFacts } from '@/lib/office/client-record/plain-words'

const quiet: VisitFacts = {
  ...{ technician: 'Priya', outcome: 'done', minutes: 40, noteForClient: ' ' },
  ...{ waterChangedPercent: 0, findings: [] },
}

test('a quiet visit is one sentence', () => {
  expect(plainVisit(quiet)).toEqual({ opening: 'Priya was here', found: [], water: null, looked: null, note: null })
})

test('water changed is told as a share, never as nothing', () => {
  expect(plainVisit({ ...quiet, waterChangedPercent: 15.2 }).water).toBe('We changed about 15 % of the water.')
  expect(plainVisit({ ...quiet, waterChangedPercent: 0.3 }).water).toBe('We changed about 1 % of the water.')
})

test('a visit cut short and a closed door are told as they were', () => {
  expect(plainVisit({ ...quiet, outcome: 'cut_short' }).opening).toMatch(/had to leave before everything was done/)
  expect(plainVisit({ ...quiet, technician: null, outcome: 'no_access' }).opening).toBe('We came and could not get in')
})

test('what was found is told with what was done, how it was left, and that we keep watching where we are not sure', () => {
  const { found, looked } = plainVisit({
    ...quiet,
    findings: [
      { thing: 'the heater', asFound: 'failed', remedy: 'Replaced it.', asLeft: 'holds 25 °C', cureConfidence: 'sure' },
      { thing: 'the skimmer', asFound: 'needs_it', remedy: '', asLeft: '', cureConfidence: 'not_sure' },
      { thing: 'the pump', asFound: 'ok', remedy: '', asLeft: '', cureConfidence: null },
      { thing: 'the light', asFound: 'not_looked', remedy: '', asLeft: '', cureConfidence: null },
    ],
  })
  expect(found).toEqual([
    'The heater had stopped working as it should; replaced it. Holds 25 °C.',
    'The skimmer needed attention. We are keeping an eye on it.',
  ])
  expect(looked).toBe('Looked at and in order: the pump.')
})

test('lists read as people write them', () => {
  expect([listed([]), listed(['a']), listed(['a', 'b']), listed(['a', 'b', 'c'])]).toEqual([
    '',
    'a',
    'a and b',
    'a, b and c',
  ])
})
