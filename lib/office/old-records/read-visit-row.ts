/** One row of a visit file, read and checked as far as it can be alone. Pure. */
import type { AsFound } from '@/lib/trade/lives/types'
import { parseNumber } from '../frame/numbers'
import { equipmentClassOf, failureModeOf } from './class-words'
import { parseDate } from './dates'
import { type Done, doneOf } from './done-words'
import { asFoundOf } from './found-words'
import { tidy } from './keys'
import { VISIT_KINDS, type VisitKind, visitKindOf } from './kind-words'
import type { ReadFile, Row } from './read-files'
import { parseReadings, type Readings } from './readings'

const MINUTES_MAX = 1440

export type VisitRow = {
  date: string
  technician: string
  client: string
  tank: string
  kind: VisitKind
  minutes: number | null
  equipment: string
  modeSlug: string | null
  /** What the words of the mode count as where rows are compared; see `failureModeOf`. */
  modeKey: string | null
  modeWords: string
  asFound: AsFound
  asFoundWords: string
  done: Done
  doneWords: string
  part: string
  readings: Readings
  comment: string
}

/** Whole minutes, 1 to 1,440 (a day); blank is not known. `45 min` and `1:15` are read too. */
function readMinutes(text: string): { ok: true; minutes: number | null } | { ok: false; reason: string } {
  const words = text.trim()
  if (words === '') return { ok: true, minutes: null }
  const clock = /^(\d{1,2}):([0-5]\d)$/.exec(words)
  const minutes = clock
    ? Number(clock[1]) * 60 + Number(clock[2])
    : parseNumber(words.replace(/\s*(?:min|mins|minutes|minuten|minutos|')\.?$/i, ''), '.')
  if (minutes === null) return { ok: false, reason: `“${words}” is not a number of minutes` }
  if (!Number.isInteger(minutes) || minutes < 1 || minutes > MINUTES_MAX)
    return { ok: false, reason: `${words} minutes cannot be right: whole minutes, 1 to ${MINUTES_MAX}` }
  return { ok: true, minutes }
}

/** What was looked at, how it was found and what was done, where a device is named. */
function readLook(row: Row, reasons: string[]) {
  const equipment = tidy(row.get('equipment'))
  const foundWords = tidy(row.get('as_found'))
  const doneWords = tidy(row.get('done'))
  const classSlug = equipmentClassOf(equipment).slug
  const lookedAt = tidy(row.get('looked_at'))
  // Some sheets have no column for what was looked at and write what was wrong under "as found".
  const foundNamesMode = lookedAt === '' && foundWords !== '' && failureModeOf(classSlug, foundWords).known
  const modeWords = foundNamesMode ? foundWords : lookedAt
  const named = modeWords === '' ? null : failureModeOf(classSlug, modeWords)
  const asFound = asFoundOf(foundWords, modeWords)
  const done = doneOf(doneWords)
  if (asFound === null)
    reasons.push(`“${foundWords}” under as found is neither ok, nor what was looked at, nor a word that is known`)
  if (done === null)
    reasons.push(
      `it is not known whether “${doneWords}” under done renews anything; write cleaned, replaced or nothing`,
    )
  if (
    equipment === '' &&
    (modeWords !== '' || (done !== null && done !== 'nothing') || (asFound !== null && asFound !== 'not_looked'))
  )
    reasons.push('it says what was looked at, found or done, but not on which equipment')
  return {
    equipment,
    modeSlug: named?.slug ?? null,
    modeKey: named?.key ?? null,
    modeWords,
    asFound: asFound ?? 'not_looked',
    asFoundWords: foundWords,
    done: done ?? 'nothing',
    doneWords,
  }
}

/** Reads a row whole or says everything that is wrong with it. `kind` blank is routine; no technician is allowed. */
export function readVisitRow(row: Row, file: ReadFile): { value: VisitRow; reasons: string[] } {
  const reasons: string[] = []
  const date = parseDate(row.get('date'), file.dialect.dateOrder)
  if (!date.ok) reasons.push(date.reason)
  const minutes = readMinutes(row.get('minutes'))
  if (!minutes.ok) reasons.push(minutes.reason)
  const kindWords = tidy(row.get('kind'))
  const kind = visitKindOf(kindWords)
  if (kind === null) reasons.push(`“${kindWords}” is not a kind of visit: ${VISIT_KINDS.join(', ')}`)
  const readings = parseReadings(row.get('readings'), file.dialect.decimalMark)
  if (readings.impossible.length > 0) reasons.push(`the reading “${readings.impossible.join('”, “')}” cannot be true`)
  const value: VisitRow = {
    date: date.ok ? date.date : '',
    technician: tidy(row.get('technician')),
    client: tidy(row.get('client')),
    tank: tidy(row.get('tank')),
    kind: kind ?? 'routine',
    minutes: minutes.ok ? minutes.minutes : null,
    ...readLook(row, reasons),
    part: tidy(row.get('part')),
    readings,
    comment: tidy(row.get('comment')),
  }
  return { value, reasons }
}
