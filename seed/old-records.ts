/** The first two years as the business kept them before: one sheet of visits. Pure. */
import { stringify } from 'csv-stringify/sync'
import { TECHNICIANS } from './names'
import type { Register } from './plan-register'
import { partOf } from './price-list'
import type { Looked, VisitStory } from './tank-life'

const COLUMNS = [
  'date',
  'technician',
  'client',
  'tank',
  'kind',
  'minutes',
  'equipment',
  'looked at',
  'as found',
].concat(['done', 'part', 'readings', 'comment'])
const READING_NAMES: Record<string, string> = {
  temperature: 'Temp',
  nitrate: 'NO3',
  salinity: 'Sal',
  alkalinity: 'Alk',
  calcium: 'Ca',
  phosphate: 'PO4',
  pH: 'pH',
}
const COMMENTS = ['', '', '', '', '', 'client says all good', 'asked about cloudy glass', 'bell broken, went round']
const REPLACING = new Set(['heater/replace', 'dosing-pump/replace-tube', 'uv-steriliser/replace-lamp'])

type SheetRow = string[]

/** The sheet as a file, with a few slips of the kind such sheets have: repeated lines, and lines that cannot be. */
export function oldVisitsFile(
  { clients }: Register,
  stories: readonly VisitStory[],
): { name: string; bytes: Uint8Array } {
  const rows = stories.flatMap((story) => rowsOf(clients[story.visit.tank.client]?.name ?? '', story))
  const slips = [100, 900, 1700, 2500].flatMap((place, number): SheetRow[] => {
    const row = rows[place]
    if (!row) return []
    return number % 2 === 0 ? [row] : [[row[0]?.replace(/-\d\d-\d\d$/, '-02-31') ?? '', ...row.slice(1)]]
  })
  const text = stringify([COLUMNS, ...rows, ...slips])
  return { name: 'visits until the phones came.csv', bytes: new TextEncoder().encode(text) }
}

function rowsOf(clientName: string, story: VisitStory): SheetRow[] {
  const { visit, looks, jobs, open, readings, luck } = story
  const head = [visit.day, TECHNICIANS[visit.technician]?.name ?? '', clientName, visit.tank.name, 'routine']
  const row = ({ device, life, isBad }: Looked, done: string, part: string) => [
    device.label,
    wordsOfMode(life.mode),
    isBad ? 'needs it' : 'ok',
    done,
    part,
  ]
  const lines = [
    ...looks.map((look) => row(look, '', '')),
    ...open.map((look) => row(look, '', '')),
    ...jobs.flatMap((job) =>
      job.looks.map((look, place) =>
        row(look, REPLACING.has(job.task) ? 'replaced' : 'cleaned', place === 0 ? (partOf(job.task)?.name ?? '') : ''),
      ),
    ),
  ]
  const whole = lines.length > 0 ? lines : [['', '', '', '', '']]
  const measured = readings.map(
    ({ quantity, value, unit }) => `${READING_NAMES[quantity] ?? quantity} ${value} ${unit}`,
  )
  return whole.map((line, place) => [
    ...head,
    `${visit.minutes}`,
    ...line,
    place === 0 ? measured.map((words) => words.trim()).join('; ') : '',
    place === 0 ? (COMMENTS[Math.floor(luck * COMMENTS.length)] ?? '') : '',
  ])
}

/** "impeller film" for `protein-skimmer/impeller-film`: the sheet knows no slugs. */
const wordsOfMode = (mode: string) => mode.slice(mode.indexOf('/') + 1).replaceAll('-', ' ')
