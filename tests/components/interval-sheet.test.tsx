import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, test } from 'vitest'
import { answerWords, IntervalSheet } from '@/components/intervals'

const text = (html: string) => html.replace(/<[^>]*>/g, '').replace(/\s+/g, ' ')
const common = { habitDays: undefined, savingOnHabit: null, proposal: null, currency: 'GBP', locale: 'en-GB' } as const

describe('the interval that holds', () => {
  test('after a no the page says what was asked, when and by whom it was left, not that nobody asked', () => {
    const lastAnswer = {
      decision: 'declined' as const,
      intervalDays: 168,
      decidedOn: '2026-11-03',
      personName: 'Priya',
    }
    const said = text(
      renderToStaticMarkup(
        <IntervalSheet {...common} intervalDays={182} source="start" cheapestDays={168} lastAnswer={lastAnswer} />,
      ),
    )
    expect(said).toContain('Every 24 weeks was proposed; you left it at every 26 weeks on 3 Nov 2026, Priya.')
    expect(said).not.toContain('by enough to ask you')
  })
  test('a plan is called planned; without one it is done when needed', () => {
    const words = (intervalDays: number | null) =>
      text(
        renderToStaticMarkup(<IntervalSheet {...common} intervalDays={intervalDays} source="start" cheapestDays={7} />),
      )
    expect(words(210)).toContain('It is planned every 30 weeks')
    expect(words(null)).toContain('It is done only when needed')
  })
})

test('an answer in one sentence: what, instead of what, where', () => {
  const answer = {
    ...{ answerId: 'a', decidedOn: '2026-11-03', personName: 'Priya', standing: 2, tankName: 'Hall' },
    ...{ taskName: 'Brush the pump', className: 'Protein skimmer', intervalDays: 168, formerDays: 182 },
  }
  expect(answerWords({ ...answer, decision: 'accepted', devices: 3, tanks: 2 })).toBe(
    'Protein skimmer, brush the pump: every 24 weeks instead of every 26 weeks, on 3 devices at 2 tanks.',
  )
  expect(answerWords({ ...answer, decision: 'declined', devices: 1, tanks: 1 })).toBe(
    'Protein skimmer, brush the pump: left at every 26 weeks, not every 24 weeks, at Hall.',
  )
})
