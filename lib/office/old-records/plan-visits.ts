/** Visits, from the rows of visit files: rows of one day, tank, technician and kind are one visit. Pure. */

import { plainWords } from '../frame/plain-words'
import { equipmentClassOf } from './class-words'
import { byCodePoint, fingerprint, nameKey, personKey, remembered, visitKey } from './keys'
import type { findDevices, findTanks } from './known-places'
import { deviceOf } from './plan-equipment'
import type { ExistingRecords, PlannedEquipment, PlannedPerson, PlannedRow, PlannedVisit } from './plan-types'
import type { ReadFile, Row } from './read-files'
import { readVisitRow, type VisitRow } from './read-visit-row'
import type { ParsedReading } from './readings'
import type { Findings } from './report'

type Places = { tankOf: ReturnType<typeof findTanks>; deviceIn: ReturnType<typeof findDevices> }
type KeyOf = (text: string) => string
type Placed = {
  row: Row
  read: VisitRow
  visit: string
  rowKey: string
  tankKey: string
  equipmentKey: string | null
  tankName: string
}

const readingParts = (reading: ParsedReading) => `${reading.quantity}=${reading.value}${reading.unit}`

/** Everything a row says, as meant and not as written: another file's date style or decimal mark makes no other row of it. */
function rowKeyOf(read: VisitRow, visit: string, equipmentKey: string | null): string {
  const readings = [...read.readings.readings.map(readingParts), ...read.readings.leftOver.map(plainWords)]
    .sort(byCodePoint)
    .join(';')
  const { minutes, modeKey, asFoundWords, done, doneWords, part, comment } = read
  return fingerprint('visit row', [
    visit,
    minutes,
    equipmentKey,
    modeKey,
    plainWords(asFoundWords),
    done,
    plainWords(doneWords),
    nameKey(part),
    readings,
    nameKey(comment),
  ])
}

/** A device that only visits name is added when its kind is known; other words are more likely a slip. */
function place(
  row: Row,
  file: ReadFile,
  places: Places,
  implied: Map<string, PlannedEquipment>,
  personOf: KeyOf,
): Placed | { reasons: string[] } {
  const { value: read, reasons } = readVisitRow(row, file)
  const tank = places.tankOf(read.tank, read.client)
  if (!tank.ok) reasons.push(tank.reason)
  let equipmentKey: string | null = null
  if (tank.ok && read.equipment !== '') {
    const device = places.deviceIn(tank.value, read.equipment)
    if (!device.ok) reasons.push(device.reason)
    else if (device.value) equipmentKey = device.value.key
    else if (!equipmentClassOf(read.equipment).known)
      reasons.push(`“${tank.value.name}” has no equipment called “${read.equipment}”`)
    else if (reasons.length === 0) {
      const added = deviceOf(tank.value.key, read.equipment, '')
      equipmentKey = added.key
      const before = implied.get(added.key)
      // Of several spellings the first in code-point order, so that the order of rows decides nothing.
      if (before === undefined || byCodePoint(added.classWords, before.classWords) < 0)
        implied.set(added.key, { ...added, installed: null, implied: true, source: { file: row.file, line: row.line } })
    }
  }
  if (reasons.length > 0 || !tank.ok) return { reasons }
  const person = read.technician === '' ? null : personOf(read.technician)
  const visit = visitKey(read.date, tank.value.key, person, read.kind)
  return {
    row,
    read,
    visit,
    rowKey: rowKeyOf(read, visit, equipmentKey),
    tankKey: tank.value.key,
    equipmentKey,
    tankName: tank.value.name,
  }
}

const plannedRow = ({ row, read, rowKey, equipmentKey }: Placed): PlannedRow => ({
  rowKey,
  equipmentKey,
  modeSlug: read.modeSlug,
  modeWords: read.modeWords,
  asFound: read.asFound,
  asFoundWords: read.asFoundWords,
  done: read.done,
  doneWords: read.doneWords,
  part: read.part || null,
  readings: read.readings.readings,
  comment:
    [read.comment, ...read.readings.leftOver.map((words) => `Readings as written: ${words}`)]
      .filter((text) => text !== '')
      .join('\n') || null,
  source: { file: row.file, line: row.line },
})

const distinct = <T>(items: readonly T[], keyOf: (item: T) => string): T[] => {
  const byKey = new Map(items.map((item) => [keyOf(item), item]))
  return [...byKey.keys()].sort(byCodePoint).flatMap((key) => byKey.get(key) ?? [])
}

/**
 * One visit from its rows. Every row repeats the minutes of its visit; where rows disagree the visit stays one and the longest
 * counts, with a warning (nothing else in the file could tell a second visit from a slip).
 */
function gather(rows: Placed[], findings: Findings): PlannedVisit | null {
  rows.sort((a, b) => byCodePoint(a.rowKey, b.rowKey))
  const [first] = rows
  if (first === undefined) return null
  const minutes = [...new Set(rows.flatMap(({ read }) => (read.minutes === null ? [] : [read.minutes])))].sort(
    (a, b) => b - a,
  )
  if (minutes.length > 1) {
    const at = rows.reduce((early, each) => (each.row.line < early.row.line ? each : early)).row
    findings.warn(
      at,
      `the rows of this visit (${first.read.date}, ${first.tankName}) give ${minutes.length} lengths; the longest, ${minutes[0]} minutes, is kept`,
    )
  }
  const planned = rows.map(plannedRow)
  return {
    key: first.visit,
    date: first.read.date,
    tankKey: first.tankKey,
    personKey: first.read.technician === '' ? null : personKey(first.read.technician),
    kind: first.read.kind,
    minutes: minutes[0] ?? null,
    comments: distinct(
      planned.flatMap((row) => row.comment ?? []),
      (text) => text,
    ),
    readings: distinct(
      planned.flatMap((row) => row.readings),
      readingParts,
    ),
    rows: planned,
  }
}

/** The spelling of a name that most rows use; the first in code-point order among equals. */
function spellings(rows: readonly Placed[]): PlannedPerson[] {
  const counts = new Map<string, Map<string, number>>()
  for (const { read } of rows) {
    if (read.technician === '') continue
    const key = personKey(read.technician)
    const names = counts.get(key) ?? new Map<string, number>()
    counts.set(key, names.set(read.technician, (names.get(read.technician) ?? 0) + 1))
  }
  return [...counts].map(([key, names]) => {
    const [best] = [...names].sort((a, b) => b[1] - a[1] || byCodePoint(a[0], b[0]))
    return { key, name: best?.[0] ?? '' }
  })
}

export function planVisits(files: readonly ReadFile[], existing: ExistingRecords, places: Places, findings: Findings) {
  const implied = new Map<string, PlannedEquipment>()
  const personOf = remembered(personKey)
  const seen = new Set<string>()
  const visits = new Map<string, Placed[]>()
  const added: Placed[] = []
  for (const file of files)
    for (const row of file.rows) {
      const placed = place(row, file, places, implied, personOf)
      if ('reasons' in placed) {
        findings.reject('visits', row, placed.reasons)
        continue
      }
      if (seen.has(placed.rowKey) || existing.visitRows.has(placed.rowKey)) {
        findings.repeat('visits')
        continue
      }
      seen.add(placed.rowKey)
      findings.add('visits')
      added.push(placed)
      const rows = visits.get(placed.visit)
      if (rows) rows.push(placed)
      else visits.set(placed.visit, [placed])
      if (placed.read.readings.leftOver.length > 0)
        findings.warn(
          row,
          `the readings “${placed.read.readings.leftOver.join('”, “')}” are not understood; they are kept as a comment`,
        )
      if (placed.read.done !== 'nothing' && placed.read.modeSlug === null)
        findings.warn(
          row,
          `it does not say what “${placed.read.doneWords}” renews; it is kept as written and starts no life`,
        )
    }
  for (const device of implied.values())
    findings.warn(device.source, `only visits name this ${device.classWords}; it is added to the tank's equipment`)
  return {
    visits: [...visits.values()].flatMap((rows) => gather(rows, findings) ?? []),
    people: spellings(added),
    implied: [...implied.values()],
  }
}
