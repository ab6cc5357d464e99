/** What a visit amounts to: the same shape from the phone's log and from the rows of the database. Pure. */
import type { RecordedLevel } from '../refills/newest-levels'
import type { WATER_UNITS } from './schema'
import type { AsFoundWord, CureWord, DepthWord, ReasonWord } from './words'

export type Pair = { equipmentId: string; mode: string }

/** `by`: the command whose words these are; null: an import brought them. */
export type Said = { by: string | null }

export type RecordedFinding = Pair & {
  asFound: AsFoundWord
  depth: DepthWord
  symptom: string
  cause: string
  remedy: string
  asLeft: string
  cureConfidence: CureWord | null
  /** Only "all else seen running" says so. */
  fromTap: boolean
} & Said
export type RecordedReport = Pair & {
  id: string
  asFound: AsFoundWord
  reportedOn: string | null
  sure: boolean
  words: string
}
export type RecordedWork = { id: string; equipmentId: string; task: string; partial: boolean }
export type RecordedRenewal = Pair & { id: string; task: string; reason: ReasonWord; partial: boolean } & Said
export type RecordedReading = { id: string; quantity: string; enteredValue: string; enteredUnit: string } & Said
export type RecordedDeviceReading = { equipmentId: string; quantity: string; enteredValue: string; enteredUnit: string }
export type RecordedPart = {
  id: string
  priceItemId: string | null
  /** A part that the business keeps, or null. */
  partId: string | null
  description: string
  quantity: number
  billable: boolean
} & Said
export type RecordedNote = { id: string; text: string }
/** What was behind a sign; the cause is `not-found` where the search ended without one. */
export type RecordedCase = {
  id: string
  sign: string
  equipmentId: string | null
  cause: string
  ruledOut: readonly string[]
}
/** Water changed, as it was typed. */
export type RecordedWaterChange = {
  id: string
  amount: string
  unit: (typeof WATER_UNITS)[number]
  newSalinity: string
  newSalinityUnit: string
  newTemperatureC: string
}
export type RecordedPromise = { id: string; what: string; dueOn: string }
export type RecordedPhoto = { id: string; caption: string; forClient: boolean }

export type VisitRecord = {
  arrivedAt: string | null
  leftAt: string | null
  outcome: 'done' | 'cut_short' | 'no_access' | null
  minutes: number | null
  /** Why the leaving check was not finished, or why nobody got in. */
  reason: string
  suspicions: (Pair & { id: string; words: string })[]
  /** One for each pair: the newest look. */
  findings: RecordedFinding[]
  reports: RecordedReport[]
  cases: RecordedCase[]
  work: RecordedWork[]
  renewals: RecordedRenewal[]
  readings: RecordedReading[]
  waterChanges: RecordedWaterChange[]
  /** One for each device and quantity, one for each container: the newest. */
  deviceReadings: RecordedDeviceReading[]
  levels: RecordedLevel[]
  /** Ids of lots said to have gone into this tank. */
  lots: string[]
  parts: RecordedPart[]
  /** Kinds of device that were off at any time; then those that run again, in the order in which they came on. */
  switchedOff: string[]
  switchedOn: string[]
  leavingCheckDone: string[]
  notesForClient: RecordedNote[]
  notesForUs: RecordedNote[]
  promises: RecordedPromise[]
  photos: RecordedPhoto[]
}

/** What an import left of a visit, before anybody said anything of it here; what the commands say comes on top. */
export type VisitBase = Pick<
  VisitRecord,
  'arrivedAt' | 'leftAt' | 'outcome' | 'minutes' | 'reason' | 'findings' | 'reports' | 'renewals' | 'readings' | 'parts'
>

/** A visit of which nothing was brought. */
export const NOTHING_BEFORE: VisitBase = {
  ...{ arrivedAt: null, leftAt: null, outcome: null, minutes: null, reason: '' },
  ...{ findings: [], reports: [], renewals: [], readings: [], parts: [] },
}

export const pairKey = ({ equipmentId, mode }: Pair) => `${equipmentId} ${mode}`

export const measureKey = (at: { equipmentId: string; quantity: string }) => `${at.equipmentId} ${at.quantity}`

const byText =
  <Item>(key: (item: Item) => string) =>
  (a: Item, b: Item) => {
    const [left, right] = [key(a), key(b)]
    return left < right ? -1 : left > right ? 1 : 0
  }

/** The record with each of its lists in one order, so that two records of the same visit are the same text. */
export function inOrder(record: VisitRecord): VisitRecord {
  const byId = byText<{ id: string }>((item) => item.id)
  return {
    ...record,
    suspicions: record.suspicions.toSorted(byId),
    findings: record.findings.toSorted(byText(pairKey)),
    reports: record.reports.toSorted(byId),
    cases: record.cases.toSorted(byId),
    work: record.work.toSorted(byId),
    renewals: record.renewals.toSorted(byId),
    readings: record.readings.toSorted(byId),
    waterChanges: record.waterChanges.toSorted(byId),
    deviceReadings: record.deviceReadings.toSorted(byText(measureKey)),
    levels: record.levels.toSorted(byText(({ reservoirId }) => reservoirId)),
    lots: record.lots.toSorted(),
    parts: record.parts.toSorted(byId),
    switchedOff: record.switchedOff.toSorted(),
    leavingCheckDone: record.leavingCheckDone.toSorted(),
    promises: record.promises.toSorted(byId),
    photos: record.photos.toSorted(byId),
  }
}

/** The words of several notes as one. */
export function noteText(notes: readonly RecordedNote[]): string {
  return notes.map(({ text }) => text).join('\n\n')
}
