import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { findMode } from '@/lib/trade'
import type { CommandContext } from '../frame/command'
import { asDbDate, dayIn } from '../frame/days'
import { type Result, refused } from '../frame/result'
import { projectVisit } from './projection'
import { baseOf, readSaid, type VisitRows } from './read-record'
import type { Pair, VisitRecord } from './record'
import type { VisitCommand } from './schema'

/** Why something said during a visit is refused; the words say it in full. */
export type VisitReason = 'not-found' | 'closed' | 'does-not-fit' | 'leaving-check' | 'clock'
/** A refusal, or null. */
export type Refusal = Extract<Result<never, VisitReason>, { ok: false }> | null

const visitSelect = {
  id: true,
  clientId: true,
  tankId: true,
  technicianId: true,
  state: true,
  timeZone: true,
  localDate: true,
  arrivedAt: true,
  leftAt: true,
  outcome: true,
  minutes: true,
  noteForClient: true,
  visitPrivate: true,
  tank: { select: { volumeL: true } },
} satisfies Prisma.VisitSelect
export type OpenVisit = Prisma.VisitGetPayload<{ select: typeof visitSelect }>

const deviceSelect = { id: true, slotId: true, equipmentClass: true, label: true, removedOn: true } as const
export type OpenDevice = Prisma.EquipmentGetPayload<{ select: typeof deviceSelect }>

/** What every part of a visit's command works with. Days are the site's. */
export type VisitContext = CommandContext & {
  visit: OpenVisit
  /** Devices of the tank; empty for a command that is not about devices. */
  devices: ReadonlyMap<string, OpenDevice>
  /** Modes that only this business knows: slug → class (blank: any). */
  ownModes: ReadonlyMap<string, string>
  day: string
  /** Everything said at this visit, this command among it, and what it amounts to over what an import left. */
  said: readonly VisitCommand[]
  record: VisitRecord
  /** The rows of the sections that this command can change, as they stand; the others are empty. */
  rows: VisitRows
}

/** Columns of every row that belongs to a visit and to its client of that time. */
export function visitColumns({ actor, visit, commandId }: VisitContext) {
  const { businessId } = actor
  return { businessId, clientId: visit.clientId, tankId: visit.tankId, visitId: visit.id, commandId }
}

/** Which of a visit's rows a kind of command can change; the others need not be looked at. */
export type Section = 'course' | 'notes' | 'cases' | 'water' | 'findings' | 'renewals' | 'readings' | 'parts'

/** The sections that each kind of command can change. What is not here changes rows of its own, beside the record. */
const SECTIONS: Partial<Record<VisitCommand['kind'], readonly Section[]>> = {
  'visit.start': ['course'],
  'visit.arrive': ['course'],
  'visit.no-access': ['course'],
  'visit.leave': ['course'],
  'visit.note': ['notes'],
  'visit.suspect': ['findings'],
  'visit.record-looks': ['findings'],
  'visit.all-running': ['findings'],
  'visit.record-report': ['findings'],
  'visit.find-cause': ['cases'],
  'visit.work': ['findings', 'renewals'],
  'visit.water-change': ['water'],
  'visit.readings': ['readings'],
  'visit.use-part': ['parts'],
  'visit.correct': ['findings', 'renewals', 'readings', 'parts'],
  'visit.take-back': ['course', 'notes', 'cases', 'water', 'findings', 'renewals', 'readings', 'parts'],
}

/** What says something of devices; the rest need not read them. */
const ABOUT_DEVICES: ReadonlySet<VisitCommand['kind']> = new Set([
  'visit.suspect',
  'visit.record-looks',
  'visit.all-running',
  'visit.record-report',
  'visit.work',
  'visit.device-readings',
  'visit.find-cause',
  'visit.correct',
  'visit.take-back',
])

/**
 * Opens the visit for commands of these kinds, under a lock on its row: two devices that write at once do so one after the other.
 * A visit of another business is not there.
 */
export async function openVisit(
  context: CommandContext,
  { visitId, kinds }: { visitId: string; kinds: readonly VisitCommand['kind'][] },
): Promise<Result<VisitContext, VisitReason>> {
  const { tx, actor, madeAt } = context
  const { businessId } = actor
  await tx.$queryRaw`SELECT 1 FROM visit WHERE business_id = ${businessId}::uuid AND id = ${visitId}::uuid FOR UPDATE`
  const visit = await tx.visit.findFirst({ where: { businessId, id: visitId }, select: visitSelect })
  if (!visit) return refused('not-found', 'This visit is not there any more. Go back to the route.')
  if (visit.state === 'cancelled')
    return refused('closed', 'This visit was cancelled. Log a new one on the tank’s page.')
  const isAboutDevices = kinds.some((kind) => ABOUT_DEVICES.has(kind))
  const devices = isAboutDevices ? await readDevices(context, visit.tankId) : new Map<string, OpenDevice>()
  const own = isAboutDevices
    ? await tx.catalogueOverlay.findMany({
        where: { businessId, kind: 'mode' },
        select: { slug: true, equipmentClass: true },
      })
    : []
  const said = await readSaid(tx, businessId, visitId)
  const rows = await readRows(context, visitId, sectionsOf(kinds))
  return {
    ok: true,
    value: {
      ...{ ...context, visit, said, rows },
      record: projectVisit(baseOf({ ...visit, ...rows }, said), said),
      devices,
      ownModes: new Map(own.map((mode) => [mode.slug, mode.equipmentClass])),
      day: dayIn(visit.timeZone, madeAt),
    },
  }
}

/** All devices that ever stood at a tank, by their ids. */
export async function readDevices({ tx, actor }: CommandContext, tankId: string): Promise<VisitContext['devices']> {
  const devices = await tx.equipment.findMany({ where: { businessId: actor.businessId, tankId }, select: deviceSelect })
  return new Map(devices.map((device) => [device.id, device]))
}

/** The sections that commands of these kinds can change, each once. */
export function sectionsOf(kinds: readonly VisitCommand['kind'][]): Section[] {
  return [...new Set(kinds.flatMap((kind) => SECTIONS[kind] ?? []))]
}

async function readRows(
  { tx, actor }: CommandContext,
  visitId: string,
  sections: readonly Section[],
): Promise<VisitRows> {
  const where = { businessId: actor.businessId, visitId }
  const has = (section: Section) => sections.includes(section)
  return {
    findings: has('findings') ? await tx.finding.findMany({ where, orderBy: [{ madeAt: 'asc' }, { id: 'asc' }] }) : [],
    renewals: has('renewals') ? await tx.renewal.findMany({ where, orderBy: { id: 'asc' } }) : [],
    readings: has('readings') ? await tx.reading.findMany({ where, orderBy: [{ takenAt: 'asc' }, { id: 'asc' }] }) : [],
    faultCases: has('cases') ? await tx.faultCase.findMany({ where, orderBy: { id: 'asc' } }) : [],
    waterChanges: has('water') ? await tx.waterChange.findMany({ where, orderBy: { id: 'asc' } }) : [],
    partUseds: has('parts') ? await tx.partUsed.findMany({ where, orderBy: { id: 'asc' } }) : [],
  }
}

/** The device of a pair, if it is this tank's and the mode is one of its class; else a refusal. */
function deviceOf({ devices, ownModes }: VisitContext, { equipmentId, mode }: Pair): Result<OpenDevice, VisitReason> {
  const device = devices.get(equipmentId)
  if (!device) return refused('does-not-fit', 'This device does not belong to the tank of this visit. Reload the page.')
  const ownClass = ownModes.get(mode)
  const fits = findMode(mode)?.equipmentClass === device.equipmentClass
  if (!fits && ownClass !== '' && ownClass !== device.equipmentClass)
    return refused('does-not-fit', `${device.label} has nothing called “${mode}” that can go wrong.`)
  return { ok: true, value: device }
}

/** The first refusal among pairs, or null when all fit. */
export function misfit(context: VisitContext, pairs: readonly Pair[]): Refusal {
  for (const pair of pairs) {
    const device = deviceOf(context, pair)
    if (!device.ok) return device
  }
  return null
}

/** What can still be said after everybody left. Everything else must have been made before. */
const AFTER_LEAVING: ReadonlySet<VisitCommand['kind']> = new Set([
  'visit.note',
  'visit.photo',
  'visit.promise',
  'visit.promise-kept',
  'visit.use-part',
  'visit.levels',
  'visit.use-lots',
  'visit.device-readings',
  'visit.correct',
  'visit.leave',
  'visit.no-access',
  'visit.take-back',
])

/** A refusal where the visit is over and this was made after it. What was made before and only arrives late is taken. */
export function afterTheEnd({ visit, madeAt }: VisitContext, kind: VisitCommand['kind']) {
  if (visit.state !== 'done' || AFTER_LEAVING.has(kind)) return null
  if (visit.leftAt !== null && madeAt <= visit.leftAt) return null
  return refused('closed', 'This visit is over. What was recorded can be corrected below its summary.')
}

/** Keeps that it happened, and when, in a row nobody changes. */
export async function writeEvent(
  context: VisitContext,
  kind: string,
  detail: Prisma.InputJsonObject = {},
  id?: string,
) {
  const { tx, actor, visit, commandId, madeAt } = context
  const { businessId, personId } = actor
  const row = { businessId, visitId: visit.id, tankId: visit.tankId, commandId, personId }
  await tx.visitEvent.create({ data: { ...row, id: id ?? commandId, kind, at: madeAt, detail } })
}

export const dayColumn = asDbDate
