/** From a plan to what happened: visits, findings, renewals, readings, parts. Pure but for fresh ids. */
import { Temporal } from '@js-temporal/polyfill'
import type { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import { findMode } from '@/lib/trade/catalogue'
import type { TankHere } from './existing'
import type { VisitKind } from './kind-words'
import type { ImportPlan, PlannedRow, PlannedVisit } from './plan-types'
import { type Brought, dateColumn, type Places } from './register-rows'

export type HistoryRows = {
  visit: Prisma.VisitCreateManyInput[]
  visitPrivate: Prisma.VisitPrivateCreateManyInput[]
  finding: Prisma.FindingCreateManyInput[]
  renewal: Prisma.RenewalCreateManyInput[]
  reading: Prisma.ReadingCreateManyInput[]
  partUsed: Prisma.PartUsedCreateManyInput[]
}
/** Words for a visit that is here already: they go behind its note, and out again if the import is taken back. */
export type AddedNote = { visitId: string; text: string }

const KINDS: Readonly<Record<VisitKind, string>> = {
  routine: 'routine',
  'call-out': 'call_out',
  installation: 'installation',
  'return check': 'return_check',
}

/** What makes a visit the same visit: tank, day, technician, kind. */
export function visitPlace(tankId: string, date: string, technicianId: string | null, kind: string): string {
  return `${tankId} ${date} ${technicianId ?? ''} ${kind}`
}

/** `visitsHere`: visits done by `visitPlace`. `timeZone`: the business's, where a site has none of its own. */
export function historyRows(
  plan: ImportPlan,
  places: Places,
  visitsHere: ReadonlyMap<string, string>,
  brought: Brought & { timeZone: string; commandId: string },
): { rows: HistoryRows; addedNotes: AddedNote[]; visitIds: Map<string, string> } {
  const { businessId, importBatchId, commandId } = brought
  const base = { businessId, importBatchId }
  const rows: HistoryRows = { visit: [], visitPrivate: [], finding: [], renewal: [], reading: [], partUsed: [] }
  const addedNotes: AddedNote[] = []
  const visitIds = new Map<string, string>()
  const noon = noonFinder()
  for (const visit of plan.visits) {
    const tank = places.tanks.get(visit.tankKey)
    if (!tank) throw new Error(`the plan visits ${visit.tankKey}, which is neither planned nor here`)
    const clientId = clientOn(tank, visit.date)
    const technicianId = visit.personKey === null ? null : (places.people.get(visit.personKey) ?? null)
    const timeZone = tank.timeZone ?? brought.timeZone
    const day = dateColumn(visit.date)
    const at = noon(visit.date, timeZone)
    const kind = KINDS[visit.kind]
    const earlier = visitsHere.get(visitPlace(tank.id, visit.date, technicianId, kind))
    const visitId = earlier ?? newId()
    visitIds.set(visit.key, visitId)
    if (earlier === undefined)
      rows.visit.push({
        ...base,
        id: visitId,
        clientId,
        tankId: tank.id,
        siteId: tank.siteId,
        technicianId,
        kind,
        state: 'done',
        outcome: 'done',
        localDate: day,
        timeZone,
        minutes: visit.minutes,
      })
    const note = noteOf(visit, places)
    if (note !== '' && earlier === undefined)
      rows.visitPrivate.push({ businessId, id: newId(), visitId, noteForUs: note })
    else if (note !== '') addedNotes.push({ visitId, text: note })
    const of = { ...base, commandId, tankId: tank.id, visitId }
    for (const row of visit.rows) addLook(rows, row, places, { ...of, clientId, day, at })
    for (const reading of visit.readings)
      rows.reading.push({
        ...of,
        id: newId(),
        clientId,
        quantity: reading.quantity,
        value: reading.value,
        unit: reading.unit,
        enteredValue: String(reading.writtenValue),
        enteredUnit: reading.writtenUnit,
        takenAt: at,
        takenOn: day,
      })
    for (const { part } of visit.rows)
      if (part !== null)
        rows.partUsed.push({
          ...of,
          id: newId(),
          clientId,
          description: part,
          quantity: 1,
          usedOn: day,
          billable: false, // what is past was billed elsewhere
        })
  }
  return { rows, addedNotes, visitIds }
}

type Of = Brought & {
  commandId: string
  tankId: string
  visitId: string
  clientId: string
  day: Date
  at: Date
}

/** A look counts at the depth that its mode needs: old records say what was found, not how closely anyone looked. */
function addLook(rows: HistoryRows, row: PlannedRow, places: Places, of: Of): void {
  const device = row.equipmentKey === null ? undefined : places.devices.get(row.equipmentKey)
  if (!device || row.modeSlug === null) return
  const { clientId, day, at, ...ids } = of
  const about = { ...ids, slotId: device.slotId, equipmentId: device.id, failureMode: row.modeSlug }
  // The order of the lines is the order of the work.
  const made = { madeAt: at, deviceSeq: row.source.line }
  rows.finding.push({
    ...about,
    ...made,
    id: newId(),
    clientId,
    equipmentClass: device.equipmentClass,
    asFound: row.asFound,
    depth: findMode(row.modeSlug)?.lookNeeded ?? 'running',
    learnedBy: 'look',
    foundOn: day,
    remedy: row.done === 'nothing' ? '' : row.doneWords,
  })
  if (row.done !== 'nothing')
    rows.renewal.push({
      ...about,
      ...made,
      id: newId(),
      reason: row.asFound === 'ok' ? 'schedule' : 'found',
      renewedOn: day,
    })
}

/** Comments, and words of rows that say nothing of a mode: they start no life but are kept as written. */
function noteOf(visit: PlannedVisit, places: Places): string {
  const loose = visit.rows.flatMap((row) => {
    const said = [row.asFoundWords, row.doneWords].filter((words) => words !== '')
    if (row.equipmentKey === null || row.modeSlug !== null || said.length === 0) return []
    return [`${places.devices.get(row.equipmentKey)?.words ?? 'Equipment'}: ${said.join(', ')}`]
  })
  return [...visit.comments, ...new Set(loose)].join('\n')
}

/** Whose tank it was on that day; before the first known day the first one's. */
function clientOn(tank: TankHere, isoDate: string): string {
  const day = dateColumn(isoDate)
  const then = tank.clients.find(({ since, until }) => since <= day && (until === null || day < until))
  const client = then ?? tank.clients[0]
  if (!client) throw new Error(`tank ${tank.id} has no client`)
  return client.clientId
}

/** Old records know the day, not the hour: noon there. */
function noonFinder(): (isoDate: string, timeZone: string) => Date {
  const found = new Map<string, Date>()
  return (isoDate, timeZone) => {
    const key = `${isoDate} ${timeZone}`
    const before = found.get(key)
    if (before) return before
    const at = Temporal.PlainDate.from(isoDate).toZonedDateTime({ timeZone, plainTime: '12:00' })
    const noon = new Date(at.epochMilliseconds)
    found.set(key, noon)
    return noon
  }
}
