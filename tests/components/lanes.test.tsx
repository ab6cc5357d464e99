import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, test } from 'vitest'
import { type LaneMark, LanesChart, type LaneView, type MarkKind } from '@/components/lanes'
import { bandWords, laneSummary } from '@/components/lanes/lane-words'
import { timeAxis } from '@/components/lanes/time-axis'

// Invented lanes; the claims are about the drawing, not about a tank.
const marks: LaneMark[] = [
  { date: '2026-03-10', kind: 'looked', words: 'runs freely', href: '/visits/1' },
  { date: '2026-04-07', kind: 'looked', words: 'runs freely' },
  { date: '2026-05-03', kind: 'reported', words: 'goes up and down' },
  { date: '2026-05-05', kind: 'found', words: 'strands in the wheel', href: '/visits/3' },
  { date: '2026-05-05', kind: 'renewed', words: 'cleaned', href: '/visits/3' },
]
const wheel: LaneView = {
  id: 'wheel',
  label: 'Skimmer: wheel',
  marks,
  runningSince: '2026-05-05',
  due: { date: '2026-11-26', words: 'Thu 26 Nov' },
  tone: 'call',
  band: [
    { date: '2026-11-25', probability: 0.2 },
    { date: '2026-12-20', probability: 1 },
    { date: '2027-02-01', probability: 0.1 },
  ],
}
const heater: LaneView = { id: 'heater', label: 'Heater', marks: [], href: '/equipment/heater' }
const range = { today: '2026-11-25', from: '2026-03-01', to: '2027-03-01', caption: 'Lanes of the hall' }
const render = (lanes: LaneView[]) => renderToStaticMarkup(<LanesChart lanes={lanes} {...range} />)

/** The lanes without legend and table. */
function drawing(html: string): string {
  return html.slice(html.indexOf('<ol class="lanes-list"'), html.indexOf('</ol>'))
}
const count = (html: string, text: string) => html.split(text).length - 1

describe('the drawing', () => {
  test.each<[MarkKind, number]>([
    ['looked', 2],
    ['found', 1],
    ['renewed', 1],
    ['reported', 1],
  ])('has as many %s marks as the lane (%d), each in its own shape', (kind, expected) => {
    expect(count(drawing(render([wheel, heater])), `class="mark-${kind}"`)).toBe(expected)
  })

  test('the four shapes differ when their classes, and with them the colours, are taken away', () => {
    const shapes = [...drawing(render([wheel])).matchAll(/<(?:path|circle) class="mark-(?!due)\w+" ([^>]*)>/g)]
    expect(new Set(shapes.map(([, shape]) => shape)).size).toBe(4)
  })

  test('a mark stands where its day is: in a year of 365 days, day 65 at 17.81 %', () => {
    // 1 March to 5 May is 31 + 30 + 4 = 65 days; 65 / 365 = 0.17808.
    expect(drawing(render([wheel]))).toContain('<svg x="17.81%"')
  })

  test('what lies outside the chart is neither drawn nor listed', () => {
    const early: LaneView = { ...wheel, marks: [...marks, { date: '2025-01-01', kind: 'found', words: 'long ago' }] }
    expect(count(drawing(render([early])), 'class="mark-found"')).toBe(1)
    expect(render([early])).not.toContain('long ago')
  })

  test('past and future part at today, and lanes without an estimate have no band', () => {
    const html = drawing(render([wheel, heater]))
    expect(count(html, 'class="lane-today"')).toBe(2)
    expect(count(html, 'class="lane-band"')).toBe(1)
  })

  test('refuses a chart that ends before it starts, and a day that is none', () => {
    expect(() => renderToStaticMarkup(<LanesChart lanes={[]} {...range} to="2026-01-01" />)).toThrow(RangeError)
    expect(() => render([{ ...heater, marks: [{ date: 'soon', kind: 'found', words: '' }] }])).toThrow(RangeError)
  })
})

describe('for those who do not see it', () => {
  test('every lane is one stop of the keyboard, named by its label and described by its sentence', () => {
    const html = drawing(render([wheel, heater]))
    const groups = [...html.matchAll(/role="group" tabindex="0" aria-labelledby="([^"]+)" aria-describedby="([^"]+)"/g)]
    expect(groups).toHaveLength(2)
    const text = (id: string | undefined) => new RegExp(`id="${id}">([^<]*)<`).exec(html)?.[1]
    expect(groups.map(([, title]) => text(title))).toEqual(['Skimmer: wheel', 'Heater'])
    expect(text(groups[0]?.[2])).toBe(laneSummary(wheel, 'en-GB'))
    expect(text(groups[1]?.[2])).toBe('Nothing seen yet.')
  })

  test('the sentence counts what the lane holds', () => {
    expect(laneSummary(wheel, 'en-GB')).toBe(
      'Found once; reported by the client once; renewed once; looked, fine 2 times. ' +
        'Last: renewed, 5 May 2026. Running since 5 May 2026. Due: Thu 26 Nov. ' +
        'Next need of work: most likely around 20 Dec 2026.',
    )
  })

  test('a band that has not peaked within the chart names no day', () => {
    const rising = (wheel.band ?? []).map((point, index) => ({ ...point, probability: (index + 1) / 3 }))
    expect(bandWords({ ...wheel, band: rising }, 'en-GB')).toBe('most likely later than shown')
    expect(
      bandWords(
        { ...wheel, band: [...rising].reverse().map((point, i) => ({ ...point, date: rising[i]?.date ?? '' })) },
        'en-GB',
      ),
    ).toBe('most likely soon')
  })

  test('the table has the marks of the drawing: as many rows, the same words, the same links', () => {
    const html = render([wheel, heater])
    const table = html.slice(html.indexOf('<table class="lanes-marks"'))
    const rows = [...table.matchAll(/<tr>(<th scope="row">.*?)<\/tr>/g)].map(([, row]) => row ?? '')
    const shown = rows.map((row) =>
      [...row.matchAll(/<t[hd][^>]*>(.*?)<\/t[hd]>/g)].map(([, cell]) => (cell ?? '').replace(/<[^>]+>/g, '')),
    )
    expect(shown).toEqual([
      ['Skimmer: wheel', '10 Mar 2026', 'looked, fine', 'runs freely'],
      ['Skimmer: wheel', '7 Apr 2026', 'looked, fine', 'runs freely'],
      ['Skimmer: wheel', '3 May 2026', 'reported by the client', 'goes up and down'],
      ['Skimmer: wheel', '5 May 2026', 'found', 'strands in the wheel'],
      ['Skimmer: wheel', '5 May 2026', 'renewed', 'cleaned'],
    ])
    expect(count(table, 'href="/visits/3"')).toBe(2)
    expect(rows).toHaveLength(count(drawing(html), 'class="lane-hit"'))
  })
})

describe('the axis', () => {
  const shown = (from: string, to: string, width: 'narrow' | 'wide') =>
    timeAxis(from, to, 'en-GB')
      .ticks.filter((tick) => tick[width])
      .map((tick) => tick.label)

  test('a year on a desk names each month, Januaries as their year', () => {
    expect(shown('2026-03-01', '2027-03-01', 'wide').join(' ')).toBe(
      'Mar Apr May Jun Jul Aug Sept Oct Nov Dec 2027 Feb',
    )
  })
  test('on a phone it names every second', () => {
    expect(shown('2026-03-01', '2027-03-01', 'narrow').join(' ')).toBe('Mar May Jul Sept Nov 2027')
  })
  test('six weeks are told by Mondays', () => {
    // 2 November 2026 is a Monday (ISO 8601 calendar).
    expect(shown('2026-11-01', '2026-12-13', 'wide').slice(0, 2)).toEqual(['2 Nov', '9 Nov'])
  })
  test.each([
    ['2026-11-01', '2026-12-13'],
    ['2026-03-01', '2027-03-01'],
    ['2021-06-15', '2027-03-01'],
    ['1990-01-01', '2030-01-01'],
  ])('labels from %s to %s keep at least 40 px on 300 and on 540', (from, to) => {
    for (const [width, px] of [
      ['narrow', 300],
      ['wide', 540],
    ] as const) {
      const at = timeAxis(from, to, 'en-GB')
        .ticks.filter((tick) => tick[width])
        .map((tick) => (tick.at / 100) * px)
      const gaps = at.slice(1).map((each, index) => each - (at[index] ?? 0))
      // February is 8 % shorter than the mean month.
      expect(Math.min(...gaps)).toBeGreaterThanOrEqual(40 * 0.92)
    }
  })
})
