import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { FIELDS } from '@/lib/office/old-records/columns'
import { planImport } from '@/lib/office/old-records/plan-import'
import type { ImportFile, ImportPlan } from '@/lib/office/old-records/plan-types'
import { DELIMITERS, FILE_KINDS, type FileKind, type Mapping } from '@/lib/office/old-records/schema'

// The claim: how a sheet is written says nothing about what it holds. No outside source is needed: the program is held against
// itself on the same invented records written another way.

type Cell = string | { date: string } | { decimals: string }
type Sheet = { fields: string[]; rows: Cell[][] }

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']
const DATE_STYLES: Record<string, (year: string, month: string, day: string) => string> = {
  iso: (year, month, day) => `${year}-${month}-${day}`,
  'day/month': (year, month, day) => `${day}/${month}/${year}`,
  'day.month': (year, month, day) => `${Number(day)}.${Number(month)}.${year}`,
  'month/day': (year, month, day) => `${Number(month)}/${Number(day)}/${year}`,
  'day month word': (year, month, day) => `${Number(day)} ${MONTHS[Number(month) - 1]} ${year}`,
  'month word, day': (year, month, day) => `${MONTHS[Number(month) - 1]} ${Number(day)}, ${year}`,
}
const ENCODE: Record<string, (text: string) => Uint8Array> = {
  'utf-8': (text) => new TextEncoder().encode(text),
  'utf-8 with mark': (text) => new TextEncoder().encode(`\ufeff${text}`),
  'utf-16 little end': (text) => Buffer.from(`\ufeff${text}`, 'utf16le'),
  'utf-16 big end': (text) => Buffer.from(`\ufeff${text}`, 'utf16le').swap16(),
  // Every letter of the records below is in Latin-1, which Windows-1252 shares.
  'windows-1252': (text) => Buffer.from(text, 'latin1'),
}

const date = fc
  .tuple(fc.integer({ min: 2021, max: 2025 }), fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 28 }))
  .map(([year, month, day]) => ({ date: `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}` }))
/** Shows in every file which number of a date is the day. */
const TELLING_DATE = { date: '2023-03-25' }
const TANKS = ['Bar 1', 'Hall; left', 'Café', 'Upstairs, "north"']
const LOOKS: [string, string][] = [
  ['protein skimmer', 'rotor film'],
  ['return pump', 'rotor scale'],
  ['heater', 'reads off by more than 1 C'],
]

const records: fc.Arbitrary<Record<FileKind, Sheet>> = fc.record({
  clients: fc.constant<Sheet>({
    fields: ['name', 'email', 'phone', 'terms', 'address', 'lat', 'lon'],
    rows: [
      [
        'Ada Bäckerei',
        'a@ada.example',
        '01632 960001',
        '14 days',
        '1 Quay, Port Ellery',
        { decimals: '54.125' },
        { decimals: '-4.5' },
      ],
      ['Zed Hall', '', '', 'net 30', '2 Row', { decimals: '54.3' }, { decimals: '-4.25' }],
      ['ZED HALL ', '', '', '30', '2 row', { decimals: '54.3' }, { decimals: '-4.25' }],
      ['', 'nobody@zed.example', '', '', '', '', ''],
    ],
  }),
  tanks: fc
    .array(
      fc.constantFrom<Cell>({ decimals: '1.125 m3' }, { decimals: '1.5 m3' }, '450', '120 L', '48 gal', {
        decimals: '62.5 l',
      }),
      { minLength: 3, maxLength: 3 },
    )
    .map(
      (volumes): Sheet => ({
        fields: ['client', 'name', 'kind', 'volume', 'refugium', 'every'],
        rows: [
          ['Zed Hall', TANKS[0] ?? '', 'reef', { decimals: '0.3 m3' }, 'yes', '2'],
          ...TANKS.slice(1).map((name, index): Cell[] => [
            'ada bäckerei',
            name,
            'Fresh',
            volumes[index] ?? '',
            '',
            '4',
          ]),
          ['Nobody', 'Lost', 'reef', '10', '', ''],
        ],
      }),
    ),
  equipment: fc.array(fc.option(date, { nil: '' }), { minLength: 12, maxLength: 12 }).map(
    (dates): Sheet => ({
      fields: ['tank', 'equipment', 'installed'],
      rows: [
        ...TANKS.flatMap((tank, row) =>
          LOOKS.map(([device], index): Cell[] => [
            tank,
            device,
            (row + index === 0 ? TELLING_DATE : dates[row * 3 + index]) ?? '',
          ]),
        ),
        ['Lost', 'heater', ''],
      ],
    }),
  ),
  visits: fc
    .array(
      fc.tuple(
        date,
        fc.constantFrom('Priya', 'Tomás', ''),
        fc.constantFrom(...TANKS, 'Nowhere'),
        fc.constantFrom('30', '45', '', '-5'),
        fc.constantFrom(...LOOKS),
        fc.constantFrom('ok', 'fine', 'mode', ''),
        fc.constantFrom('', 'cleaned', 'replaced'),
        fc.constantFrom<Cell>('', { decimals: 'Alk 8.3 dKH; Ca 420; Sal 34.6' }, { decimals: 'NO3 5; pH 7.25' }),
        fc.constantFrom('', 'said "fine"', 'two\nlines', 'a;b,c|d'),
      ),
      { maxLength: 25 },
    )
    .map((rows): Sheet => {
      const cells = rows.map(([day, by, tank, minutes, [device, mode], found, done, readings, comment]): Cell[] => [
        day,
        by,
        tank,
        'routine',
        minutes,
        device,
        mode,
        found === 'mode' ? mode : found,
        done,
        '',
        readings,
        comment,
      ])
      const telling: Cell[] = [TELLING_DATE, 'Priya', 'Café', '', '60', '', '', '', '', '', { decimals: 'pH 8.1' }, '']
      return {
        fields: [
          'date',
          'technician',
          'tank',
          'kind',
          'minutes',
          'equipment',
          'looked_at',
          'as_found',
          'done',
          'part',
          'readings',
          'comment',
        ],
        rows: [telling, ...cells, ...cells.slice(0, 3)],
      }
    }),
})

const perFile = fc.record({
  delimiter: fc.constantFrom(...DELIMITERS),
  comma: fc.boolean(),
  dates: fc.constantFrom(...Object.keys(DATE_STYLES)),
  encoding: fc.constantFrom(...Object.keys(ENCODE)),
  lineEnd: fc.constantFrom('\n', '\r\n', '\r'),
  quoteAll: fc.boolean(),
  seed: fc.integer({ min: 1, max: 2 ** 31 - 1 }),
  headings: fc.constantFrom('ours', 'synonym', 'mapped'),
})
type Style = typeof perFile extends fc.Arbitrary<infer T> ? T : never

/** A small generator of its own (Park & Miller 1988), so that a style is one value that can shrink and be repeated. */
function shuffled<T>(items: readonly T[], seed: number): T[] {
  let state = seed
  const order = items.map((item) => {
    state = (state * 48271) % 2147483647
    return [state, item] as const
  })
  return order.sort((a, b) => a[0] - b[0]).map(([, item]) => item)
}

function write(kind: FileKind, sheet: Sheet, style: Style): { file: ImportFile; columns: Record<string, string> } {
  const show = (cell: Cell): string => {
    if (typeof cell === 'string') return cell
    if ('decimals' in cell) return style.comma ? cell.decimals.replaceAll('.', ',') : cell.decimals
    const [year = '', month = '', day = ''] = cell.date.split('-')
    return DATE_STYLES[style.dates]?.(year, month, day) ?? ''
  }
  const heading = (field: string, index: number) => {
    const known = shuffled(FIELDS[kind][field]?.headings ?? [], style.seed).find((each) =>
      unmistakable(kind, sheet.fields, field, each),
    )
    return style.headings === 'ours'
      ? field
      : style.headings === 'synonym'
        ? (known ?? field).toUpperCase()
        : `Spalte ${index + 1}`
  }
  const headings = sheet.fields.map(heading)
  const order = shuffled(
    sheet.fields.map((_, index) => index),
    style.seed,
  )
  const quote = (text: string) =>
    style.quoteAll || /[\r\n"]/.test(text) || text.includes(style.delimiter) ? `"${text.replaceAll('"', '""')}"` : text
  const lines = [headings, ...shuffled(sheet.rows, style.seed).map((row) => row.map(show))]
  const text = lines
    .map((cells) => order.map((index) => quote(cells[index] ?? '')).join(style.delimiter) + style.lineEnd)
    .join('')
  const bytes = ENCODE[style.encoding]?.(text) ?? new Uint8Array()
  return {
    file: { name: `${kind}.csv`, bytes },
    columns: Object.fromEntries(sheet.fields.map((field, index) => [field, headings[index] ?? ''])),
  }
}

/** Some headings fit two fields of a sheet ("tank" is also a name); a fair renaming keeps clear of those. */
function unmistakable(kind: FileKind, fields: readonly string[], field: string, heading: string): boolean {
  return !fields.some((other) => other !== field && FIELDS[kind][other]?.headings.includes(heading))
}

/** The tables without where their rows stood, and how many rows of each kind did what. */
function tables(plan: ImportPlan) {
  const { clients, sites, tanks, equipment, people, visits, report } = plan
  const counts = FILE_KINDS.map((kind) => [
    kind,
    report[kind].added,
    report[kind].repeated,
    report[kind].rejected.length,
  ])
  return JSON.parse(
    JSON.stringify({ clients, sites, tanks, equipment, people, visits, counts }, (key, value) =>
      key === 'source' ? undefined : value,
    ),
  )
}

const PLAIN: Style = {
  delimiter: ',',
  comma: false,
  dates: 'iso',
  encoding: 'utf-8',
  lineEnd: '\n',
  quoteAll: false,
  seed: 1,
  headings: 'ours',
}

describe('the same records written another way', () => {
  test('give the same tables, whatever the headings, delimiter, decimal mark, date style, encoding and order', () => {
    fc.assert(
      fc.property(
        records,
        fc.record({ clients: perFile, tanks: perFile, equipment: perFile, visits: perFile }),
        (sheets, styles) => {
          const plain = planImport(
            FILE_KINDS.map((kind) => write(kind, sheets[kind], PLAIN).file),
            { gallon: 'us' },
          )
          const mapping: Mapping = {}
          const files = FILE_KINDS.map((kind) => {
            const { file, columns } = write(kind, sheets[kind], styles[kind])
            if (styles[kind].headings === 'mapped') mapping[file.name] = { kind, columns }
            return file
          })
          const other = planImport(files.reverse(), { gallon: 'us' }, mapping)
          expect({ refusals: other.refusals, questions: other.questions }).toEqual({ refusals: [], questions: [] })
          expect(tables(other)).toEqual(tables(plain))
          expect(plain.report.clients).toMatchObject({ added: 2, repeated: 1, rejected: [{ line: 5 }] })
        },
      ),
      { numRuns: 100 },
    )
  })
})
