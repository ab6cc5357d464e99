import { renderToStaticMarkup } from 'react-dom/server'
import { useForm } from 'react-hook-form'
import { describe, expect, test, vi } from 'vitest'
import { CostChart, clockWords, DayBars, ReadingsChart, SurvivalChart } from '@/components/charts'
import {
  CheckField,
  ChoiceField,
  ErrorSummary,
  Field,
  NumberField,
  SelectField,
  Step,
  TextAreaField,
} from '@/components/forms'
import { dateWords, moneyWords, Problem, quantityWords } from '@/components/paper'
import { DeskShell, FieldShell, RecordShell } from '@/components/shell'
import { currentItem } from '@/components/shell/nav-links'
import { DataTable } from '@/components/tables'
import { done } from '@/lib/office/frame/result'

vi.mock('next/navigation', () => ({ usePathname: () => '/things', useRouter: () => ({}) }))

const attribute = (html: string, name: string) => new RegExp(`${name}="([^"]*)"`).exec(html)?.[1]

function Form() {
  const form = useForm({ defaultValues: { label: '' } })
  return <Field label="Name" {...form.register('label')} />
}

describe('form fields', () => {
  test.each([
    ['input', <Field key="a" label="Litres" hint="net" error="too many" name="x" />],
    ['input', <NumberField key="b" label="Litres" hint="net" error="too many" name="x" />],
    ['select', <SelectField key="c" label="Litres" hint="net" error="too many" name="x" />],
    ['textarea', <TextAreaField key="d" label="Litres" hint="net" error="too many" name="x" />],
    ['input', <CheckField key="e" label="Litres" hint="net" error="too many" name="x" />],
  ])('a %s is tied to its label, hint and error', (tag, field) => {
    const html = renderToStaticMarkup(field)
    const control = new RegExp(`<${tag}[^>]*>`).exec(html)?.[0] ?? ''
    const id = attribute(control, 'id')
    expect(html).toContain(`for="${id}"`)
    expect(attribute(control, 'aria-invalid')).toBe('true')
    const described = attribute(control, 'aria-describedby')?.split(' ') ?? []
    expect(described).toHaveLength(2)
    for (const each of described) expect(html).toContain(`id="${each}"`)
  })

  test('a field without hint or error refers to nothing', () => {
    expect(renderToStaticMarkup(<Field label="Name" />)).not.toMatch(/aria-describedby|aria-invalid/)
  })

  test('takes what register gives', () => {
    expect(renderToStaticMarkup(<Form />)).toContain('name="label"')
  })

  const options = [
    { value: 'ok', label: 'Runs' },
    { value: 'failed', label: 'Failed' },
  ]
  test('a choice has nothing ticked unless it was chosen', () => {
    expect(renderToStaticMarkup(<ChoiceField name="f" label="As found" options={options} />)).not.toContain('checked')
    const chosen = renderToStaticMarkup(
      <ChoiceField name="f" label="As found" options={options} defaultValue="failed" />,
    )
    expect(chosen.match(/checked/g)).toHaveLength(1)
    expect(chosen).toMatch(/checked="" value="failed"|value="failed" checked=""/)
  })

  test('an error summary leads to the fields and vanishes without errors', () => {
    expect(renderToStaticMarkup(<ErrorSummary errors={[{ fieldId: 'ph', message: 'pH is missing' }]} />)).toContain(
      'href="#ph"',
    )
    expect(renderToStaticMarkup(<ErrorSummary errors={[]} />)).toBe('')
  })

  test('a second step is closed, carries what it is about, and waits for scripts', () => {
    const html = renderToStaticMarkup(
      <Step name="thing.take-back" ask="Take back" confirm="Yes" action={async () => done(null)} hidden={{ id: '7' }}>
        It stays in the record.
      </Step>,
    )
    expect(html).not.toContain('open')
    expect(html).toContain('data-form="thing.take-back" data-about="7"')
    expect(html).toContain('name="id" value="7"')
    expect(html).toMatch(/<button type="submit"[^>]* disabled=""/)
  })
})

describe('words for figures', () => {
  // Decimals per currency: ISO 4217 (GBP 2, JPY 0, KWD 3).
  test.each([
    [29736, 'GBP', '£297.36'],
    [5, 'GBP', '£0.05'],
    [-5, 'GBP', '−£0.05'],
    [1200, 'JPY', 'JP¥1,200'],
    [1234, 'KWD', 'KWD\u00a01.234'],
    [900719925474099312n, 'GBP', '£9,007,199,254,740,993.12'],
  ])('%d of %s is %s', (minor, currency, words) => {
    expect(moneyWords({ minor, currency })).toBe(words)
  })
  test('language decides the marks', () => {
    expect(moneyWords({ minor: 294000, currency: 'EUR', locale: 'de-DE' })).toBe('2.940,00\u00a0€')
    expect(quantityWords({ value: 2.9, unit: 'meq/L', locale: 'de-DE' })).toBe('2,9\u00a0meq/L')
  })
  test('a day is the same day in every zone, an instant is not', () => {
    expect(dateWords({ date: '2026-11-26', style: 'day', timeZone: 'Pacific/Kiritimati' })).toBe('Thursday 26 November')
    expect(dateWords({ date: '2026-07-01T08:20:00Z', style: 'time', timeZone: 'Europe/London' })).toBe('09:20')
    expect(dateWords({ date: '2026-11-26', today: '2026-11-25' })).toBe('tomorrow')
    expect(() => dateWords({ date: 'soon' })).toThrow(RangeError)
  })
})

describe('tables', () => {
  const rows = [{ id: 'a', work: 'Brush the rotor', minutes: 20 }]
  const columns = [
    { key: 'work', header: 'Work', cell: (row: (typeof rows)[number]) => row.work },
    { key: 'minutes', header: 'Minutes', numeric: true, cell: (row: (typeof rows)[number]) => row.minutes },
  ]
  test('has caption, heads with scope, and each value carries its label for the phone', () => {
    const html = renderToStaticMarkup(
      <DataTable caption="Due" rows={rows} columns={columns} rowHref={(row) => `/w/${row.id}`} />,
    )
    expect(html).toContain('<caption>Due</caption>')
    expect(html.match(/scope="col"/g)).toHaveLength(2)
    expect(html).toMatch(/<td class="n" data-label="Minutes">.*20/)
    expect(html).toContain('href="/w/a"')
  })
  test('without rows the empty state stands alone', () => {
    expect(
      renderToStaticMarkup(<DataTable caption="Due" rows={[]} columns={columns} empty={<p>Nothing due</p>} />),
    ).toBe('<p>Nothing due</p>')
  })
})

describe('shells', () => {
  const nav = [
    { href: '/today', label: 'Today' },
    { href: '/tanks', label: 'Tanks' },
  ]
  test.each([
    [
      'desk',
      <DeskShell key="d" businessName="B" personName="P" nav={nav} currentPath="/tanks/7" signOut="out">
        x
      </DeskShell>,
      2,
    ],
    [
      'field',
      <FieldShell key="f" title="Thursday" nav={nav} currentPath="/tanks/7">
        x
      </FieldShell>,
      1,
    ],
    [
      'record',
      <RecordShell key="r" businessName="B" nav={nav} currentPath="/tanks/7">
        x
      </RecordShell>,
      1,
    ],
  ])('%s: one main, a way to skip to it, and where one is', (_, shell, navs) => {
    const html = renderToStaticMarkup(shell)
    expect(html.match(/<main/g)).toHaveLength(1)
    expect(html).toContain('href="#main"')
    expect(html.match(/aria-current="page"/g)).toHaveLength(navs)
  })
  test('the current entry is the deepest that holds the path, by whole folders', () => {
    expect(currentItem([...nav, { href: '/tanks/new', label: 'New' }], '/tanks/new/2')?.label).toBe('New')
    expect(currentItem(nav, '/tanks-old')).toBeUndefined()
  })
  test('a problem interrupts', () => {
    expect(renderToStaticMarkup(<Problem title="Not saved" />)).toContain('role="alert"')
  })
})

describe('charts', () => {
  test('readings: as many dots and rows as points, those outside the target told by word', () => {
    const points = [
      { date: '2026-10-01', value: 3 },
      { date: '2026-10-15', value: 2.2 },
    ]
    const html = renderToStaticMarkup(
      <ReadingsChart points={points} target={{ low: 2.5, high: 3.6 }} unit="meq/L" label="Alkalinity" />,
    )
    expect(html.match(/h0/g)).toHaveLength(2)
    expect(html.match(/<th scope="row">/g)).toHaveLength(2)
    expect(html.match(/>below</g)).toHaveLength(1)
    expect(html).toContain('Alkalinity: 2.2\u00a0meq/L on 15 Oct 2026, target 2.5–3.6.')
    expect(renderToStaticMarkup(<ReadingsChart points={[]} unit="" label="pH" />)).toContain('no reading yet')
    expect(renderToStaticMarkup(<ReadingsChart points={points.slice(0, 1)} unit="" label="pH" />)).not.toContain('NaN')
  })
  test('survival: the median is where the curve crosses one half', () => {
    // Exponential with mean 10: the median is 10 ln 2 = 6.93.
    const parametric = Array.from({ length: 300 }, (_, index) => ({
      time: index / 10,
      survival: Math.exp(-index / 100),
    }))
    expect(
      renderToStaticMarkup(<SurvivalChart parametric={parametric} unit="weeks" label="Still running" />),
    ).toContain('half by 7\u00a0weeks')
    expect(
      renderToStaticMarkup(<SurvivalChart parametric={parametric.slice(0, 20)} unit="weeks" label="Still running" />),
    ).toContain('more than half')
  })
  test('cost: no optimum is said, not drawn', () => {
    const points = [
      { interval: 4, cost: 10 },
      { interval: 8, cost: 7 },
    ]
    const html = renderToStaticMarkup(
      <CostChart points={points} optimum={null} unit="weeks" costUnit="pounds a year" label="Brushing" />,
    )
    expect(html).not.toContain('plot-best')
    expect(html).toContain('no interval is cheaper')
  })
  test('the day: one bar per stop, a late one marked by more than colour', () => {
    const stops = [
      { start: 480, end: 540, state: 'done' as const, words: 'Library' },
      { start: 600, end: 720, state: 'late' as const, words: 'Bar', href: '/stops/2' },
    ]
    const html = renderToStaticMarkup(
      <DayBars caption="On the road" rows={[{ id: 'p', label: 'Priya', words: 'late', stops }]} />,
    )
    expect(html.match(/class="day-stop"/g)).toHaveLength(2)
    expect(html.match(/class="day-late"/g)).toHaveLength(1)
    expect(html).toContain('aria-label="Bar"')
    expect(clockWords(575)).toBe('09:35')
  })
})
