/** Reads the old-records sample into lanes. Simple on purpose: the importer proper is another thing and has its own tests. */
import { parse } from 'csv-parse/sync'
import { findMode, type LaneEvent, type ModeRule } from '@/lib/trade'
import { sampleText } from '../../reference/old-records/sample'

export type VisitRow = {
  date: string
  tank: string
  minutes: string
  equipment: string
  looked_at: string
  as_found: string
  done: string
}
export type RecordLane = { tank: string; key: string; mode: ModeRule; events: LaneEvent[] }

/** What the sample calls a mode → its slug in the catalogue. */
export const SLUGS: Record<string, string> = {
  'protein skimmer / rotor film': 'protein-skimmer/impeller-film',
  'protein skimmer / wheel clogged': 'protein-skimmer/wheel-clogged',
  'protein skimmer / air line restricted': 'protein-skimmer/air-line-restricted',
  'return pump / rotor scale': 'return-pump/impeller-scale',
  'circulation pump / rotor coralline': 'circulation-pump/impeller-coralline',
  'heater / reads off by more than 1 C': 'heater/reads-off',
  'canister filter / media clogged': 'external-filter/media-clogged',
  'dosing pump / tube tired': 'dosing-pump/tube-tired',
  'auto top-off / sensor fouled': 'auto-top-up/sensor-fouled',
  'UV steriliser / lamp past its hours': 'uv-steriliser/lamp-past-hours',
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']
const DAY_MS = 86_400_000

/** Day number of one of the three date styles; null for anything else and for days that do not exist. */
export function readDay(text: string): number | null {
  const iso = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text)
  const slashed = /^(\d{1,2})\/(\d{1,2})\/(\d{4})$/.exec(text)
  const worded = /^(\d{1,2}) ([A-Z][a-z]{2}) (\d{4})$/.exec(text)
  const parts = iso
    ? [iso[1], iso[2], iso[3]]
    : slashed
      ? [slashed[3], slashed[2], slashed[1]]
      : worded
        ? [worded[3], MONTHS.indexOf(worded[2] ?? '') + 1, worded[1]]
        : null
  if (!parts) return null
  const [year, month, day] = parts.map(Number)
  if (year === undefined || month === undefined || day === undefined) return null
  const date = new Date(Date.UTC(year, month - 1, day))
  return date.getUTCMonth() === month - 1 && date.getUTCDate() === day ? date.getTime() / DAY_MS : null
}

export function readSample() {
  const tanks: { name: string }[] = parse(sampleText('tanks.csv'), { columns: true, bom: true })
  const rows: VisitRow[] = parse(sampleText('visits.csv'), { columns: true, bom: true })
  return { tankNames: tanks.map((tank) => tank.name), rows }
}

/** Wrong rows are dropped first, then exact repeats. */
export function cleanRows(rows: readonly VisitRow[], tankNames: readonly string[]): VisitRow[] {
  const known = new Set(tankNames)
  const seen = new Set<string>()
  return rows.filter((row) => {
    const minutes = Number(row.minutes)
    if (readDay(row.date) === null || !known.has(row.tank) || !(minutes > 0 && minutes <= 600)) return false
    const whole = JSON.stringify(row)
    if (seen.has(whole)) return false
    seen.add(whole)
    return true
  })
}

/** One lane per tank × mode: imported looks count at full depth, `done` renews its own row's mode only. */
export function lanesOf(rows: readonly VisitRow[]): RecordLane[] {
  const lanes = new Map<string, RecordLane>()
  for (const row of rows) {
    const day = readDay(row.date)
    const key = `${row.equipment} / ${row.looked_at}`
    const mode = findMode(SLUGS[key] ?? '')
    if (day === null || !mode) continue
    const id = `${row.tank}|${key}`
    const lane = lanes.get(id) ?? { tank: row.tank, key, mode, events: [] }
    lanes.set(id, lane)
    const isOk = ['ok', 'fine'].includes(row.as_found.toLowerCase())
    lane.events.push({ kind: 'look', day, asFound: isOk ? 'ok' : 'needs_it', depth: 'running', source: 'imported' })
    if (row.done) lane.events.push({ kind: 'renewal', day, reason: isOk ? 'schedule' : 'found' })
  }
  return [...lanes.values()].sort((a, b) => (`${a.key}${a.tank}` < `${b.key}${b.tank}` ? -1 : 1))
}
