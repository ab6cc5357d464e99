// Which caution belongs to which step is common practice without a source, except where the caution itself names one.
import { describe, expect, test } from 'vitest'
import { CAUTION_SLUGS, type CautionContext, cautionsFor, findCaution, type VisitStep } from '@/lib/trade'

const ALL_TRUE: CautionContext = {
  tankKind: 'reef',
  venomousAnimals: true,
  zoanthids: true,
  invertebrates: true,
  childrenOrPatients: true,
  alone: true,
  signal: false,
  closedSpace: true,
  tapFilled: true,
  heater: true,
  stoppedMinutes: 500,
  openCut: true,
  weightKg: 60,
  deepSand: true,
}
const STEPS: VisitStep[] = [
  'arrive',
  'look',
  'leak-found',
  'residual-current-test',
  'hands-in',
  'lower-level',
  'take-heater-out',
  'open-device',
  'clear-air-line',
  'soak-in-acid',
  'disinfect',
  'mix-calcium-chloride',
  'mix-lime',
  'remove-fouling',
  'uv-lamp',
  'lamp-broken',
  'ozone-device',
  'carbon-dioxide',
  'chiller',
  'start-siphon',
  'water-change',
  'lift',
  'clean-glass',
  'clean-sand',
  'medicate',
  'bin-macroalgae',
  'rinse',
  'restart-filter',
  'wiring',
  'leave',
]
const slugs = (step: VisitStep, context?: CautionContext) => cautionsFor(step, context).map((caution) => caution.slug)

describe('cautions', () => {
  test('every caution has a text and says where it comes from', () => {
    for (const slug of CAUTION_SLUGS) {
      expect(findCaution(slug).text.length).toBeGreaterThan(20)
      expect(findCaution(slug).source.length).toBeGreaterThan(5)
    }
  })
  test('looking needs none, whatever the tank', () => {
    expect(cautionsFor('look', ALL_TRUE)).toEqual([])
  })
  test.each([
    ['arrive', { venomousAnimals: true }, 'venomous-animals'],
    ['lower-level', { heater: true }, 'heater-off-first'],
    ['soak-in-acid', {}, 'acid'],
    ['open-device', {}, 'plug-out'],
    ['remove-fouling', { zoanthids: true }, 'palytoxin'],
    ['uv-lamp', {}, 'uv-lamp'],
    ['ozone-device', {}, 'ozone'],
    ['carbon-dioxide', { closedSpace: true }, 'gas'],
    ['chiller', {}, 'refrigerant'],
    ['restart-filter', { stoppedMinutes: 121 }, 'stopped-filter'],
    ['water-change', { tapFilled: true }, 'chlorine-water'],
  ] satisfies [VisitStep, CautionContext, string][])('%s carries its own', (step, context, slug) => {
    expect(slugs(step, context)).toContain(slug)
  })
  test.each(['arrive', 'hands-in', 'lower-level', 'remove-fouling', 'restart-filter', 'water-change', 'lift'] as const)(
    '%s says nothing where nothing calls for it',
    (step) => expect(slugs(step, {})).toEqual([]),
  )
  test('acid and bleach never appear at one step', () => {
    for (const step of STEPS) {
      const shown = slugs(step, ALL_TRUE)
      expect(shown.includes('acid') && shown.includes('bleach'), step).toBe(false)
    }
  })
  test('the acid caution stands at its step only', () => {
    expect(STEPS.filter((step) => slugs(step, ALL_TRUE).includes('acid'))).toEqual(['soak-in-acid'])
  })
})
