import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import {
  cautionsFor,
  findFamily,
  inTradeWords,
  leavingCheck,
  phoneSignWords,
  SWITCHABLE,
  type SwitchedSlug,
  switchedClasses,
  TANK_KINDS,
  tradeDialectOf,
} from '@/lib/trade'
import { asOf } from '../due/queries'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, dayIn } from '../frame/days'
import { asVolumeUnit } from '../frame/typed-figures'
import { readingsAskedIn } from '../lanes/wear-asked-at-visit'
import { lotsForVisitIn } from '../lots/queries'
import { type VisitParts, visitParts } from '../parts/visit-parts'
import { refillsAtVisitIn } from '../refills/queries'
import { kindWords } from '../tanks/kind-words'
import { RECORDED, recordOf } from './read-record'
import type { VisitRecord } from './record'
import { visitDevices } from './visit-devices'
import { visitWater } from './visit-water'
import { waterChangeWords } from './water-change'

export type VisitPage = NonNullable<Awaited<ReturnType<typeof findVisitPage>>>

/** Everything the pages of one visit show, in one read. Null where there is no such visit in this business. */
export function findVisitPage(actor: Actor, visitId: string, now: Date) {
  return inBusiness(actor, (tx) => visitPageIn(tx, actor, visitId, now))
}

/** The same with what is measured on its devices, for Look. */
export function findLookPage(actor: Actor, visitId: string, now: Date) {
  return inBusiness(actor, async (tx) => {
    const visit = await visitPageIn(tx, actor, visitId, now)
    return (
      visit && {
        ...visit,
        wearAsked: await readingsAskedIn(tx, actor.businessId, { visitId, devices: visit.inService }),
      }
    )
  })
}

/** The same with what is filled and which lots are open, for Work. */
export function findWorkPage(actor: Actor, visitId: string, now: Date) {
  return inBusiness(actor, async (tx) => {
    const visit = await visitPageIn(tx, actor, visitId, now)
    if (!visit) return null
    const { tankId, localDate: today, locale } = visit
    const refills = await refillsAtVisitIn(tx, actor.businessId, { visitId, tankId, today, locale })
    return { ...visit, refills, lots: await lotsForVisitIn(tx, actor.businessId, { visitId, tankId }) }
  })
}

async function visitPageIn(tx: Transaction, actor: Actor, visitId: string, now: Date) {
  const { businessId } = actor
  const visit = await tx.visit.findFirst({
    where: { businessId, id: visitId },
    include: {
      client: { select: { name: true } },
      technician: { select: { name: true } },
      site: { include: { sitePrivate: true, siteContacts: true } },
      tank: { include: { tankPrivate: true, equipments: DEVICES_IN_SERVICE, followUps: promisesBefore(visitId) } },
      business: { select: { country: true, volumeUnit: true } },
      photos: { orderBy: [{ takenAt: 'asc' }, { id: 'asc' }] },
      ...RECORDED,
    },
  })
  if (!visit) return null
  const record = await recordOf(tx, businessId, visit)
  const { photos } = visit
  const { tankId, tank, site, timeZone } = visit
  const at = { businessId, tankId }
  const dialect = tradeDialectOf(visit.business.country)
  const { equipments: inService, followUps: openPromises } = tank
  const known = await asOf(tx, businessId, now)
  const before = await tx.visit.findFirst({
    where: { ...at, state: 'done', id: { not: visitId }, localDate: { lte: visit.localDate } },
    orderBy: [{ localDate: 'desc' }, { id: 'desc' }],
    select: { localDate: true, createdAt: true, leftAt: true, visitPrivate: { select: { noteForUs: true } } },
  })
  const remarks = await tx.visitRequest.findMany({
    where: {
      ...at,
      OR: [{ state: 'open' }, { visitId }, ...(before?.leftAt ? [{ askedAt: { gt: before.leftAt } }] : [])],
    },
    orderBy: [{ askedAt: 'desc' }, { id: 'desc' }],
    select: { id: true, words: true, askedAt: true },
    take: 10,
  })
  const calls = await tx.phoneCall.findMany({
    where: { ...at, ...(before?.leftAt ? { rangAt: { gt: before.leftAt } } : {}) },
    orderBy: [{ rangAt: 'desc' }, { id: 'desc' }],
    select: { id: true, rangAt: true, sign: true, said: true, told: true, person: { select: { name: true } } },
    take: 5,
  })
  const priceItems = await tx.priceItem.findMany({
    where: { businessId, kind: { in: ['part', 'animal'] }, archivedAt: null },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
    select: { id: true, name: true },
  })
  const { devices, tap } = await visitDevices(tx, { ...at, dialect, rows: inService, asOf: known }, record, now)
  // What was exchanged at this visit or later is asked for no more, but what was found on it is still told.
  const gone = await exchangedDevices(tx, at, record, inService)
  const { devices: exchanged } =
    gone.length === 0
      ? { devices: [] }
      : await visitDevices(tx, { ...at, dialect, rows: gone, asOf: known }, record, now)
  const water = await visitWater(tx, { ...at, profile: tank.profile }, record)
  const parts = await visitParts(tx, businessId, { personId: actor.personId, technicianId: visit.technicianId })
  const tankKind = TANK_KINDS.find((kind) => kind === tank.profile)
  const hasHeater = devices.some((device) => device.modes.some(({ slug }) => slug.startsWith('heater/')))
  const dangerous = tank.dangerousAnimals !== ''
  const textOf = (step: Parameters<typeof cautionsFor>[0]) =>
    // Nobody asks the technician for a cut on the hand: the caution stands there for whoever has one.
    cautionsFor(step, {
      ...{ venomousAnimals: dangerous, heater: hasHeater, openCut: true },
      ...(tankKind ? { tankKind } : {}),
    }).map(({ text }) => inTradeWords(text, dialect))
  const fitted = new Set(inService.map(({ equipmentClass }) => equipmentClass))
  const isHere = (slug: SwitchedSlug) => slug === 'feed-pause' || switchedClasses(slug).some((name) => fitted.has(name))
  const isOn = (slug: string) => record.switchedOn.includes(slug)
  return {
    recorded: [...devices, ...exchanged],
    ...{ businessId, visitId, tankId, record, inService, devices, tap, water, priceItems, timeZone },
    vanName: parts.vanName,
    partChoices: parts.choices,
    takes: (device: { id: string }, task: { slug: string }) => parts.usedBy(device.id, task.slug),
    partsToWriteDown: partsToWriteDown(record, parts),
    locale: known.locale,
    state: visit.state,
    kind: visit.kind,
    localDate: asDay(visit.localDate),
    today: dayIn(timeZone, now),
    whatFor: visit.whatFor,
    windowWords: [visit.windowStart, visit.windowEnd].filter(Boolean).join('–'),
    technicianName: visit.technician?.name ?? '',
    minutesSoFar: visit.arrivedAt
      ? Math.min(1440, Math.max(1, Math.round((now.getTime() - visit.arrivedAt.getTime()) / 60_000)))
      : null,
    tank: { name: tank.name, words: `${kindWords(tank.profile)}, ${tank.volumeL.toNumber()} L` },
    clientName: visit.client.name,
    siteName: site.name,
    address: [site.address, site.postcode, site.city].filter(Boolean).join(', '),
    arrive: {
      accessNote: site.sitePrivate?.accessNote ?? '',
      contacts: site.siteContacts.map(({ id, name, role, phone }) => ({ id, name, role, phone })),
      dangerousAnimals: tank.dangerousAnimals,
      isolator: tank.tankPrivate?.isolator ?? '',
      isolatorWords: inTradeWords('Fuse board, isolator', dialect),
      shutOffs: tank.tankPrivate?.shutOffs ?? '',
      tankNote: tank.tankPrivate?.note ?? '',
      // Later visits have their own findings; the first has only what was wrong before we touched anything.
      faultsAtTakeover: before === null ? (tank.tankPrivate?.faultsAtTakeover ?? '') : '',
      remarks: remarks.map(({ id, words, askedAt }) => ({ id, words, on: dayIn(timeZone, askedAt) })),
      calls: calls.map(({ id, rangAt, sign, said, told, person }) => ({
        ...{ id, told, person: person.name, on: dayIn(timeZone, rangAt) },
        said: [phoneSignWords(sign), said && `“${said}”`].filter(Boolean).join(' '),
      })),
      promises: openPromises.map(({ id, what, dueOn }) => ({ id, what, dueOn: asDay(dueOn) })),
      lastVisitOn: asDay(before?.localDate ?? null),
      lastNote: before?.visitPrivate?.noteForUs ?? '',
    },
    cautions: {
      arrive: textOf('arrive'),
      leak: textOf('leak-found'),
      off: [...textOf('open-device'), ...textOf('lower-level')],
      hands: textOf('hands-in'),
    },
    switchable: SWITCHABLE.filter(({ slug }) => isHere(slug)).map(({ slug, name }) => ({
      ...{ slug, name: inTradeWords(name, dialect) },
      isOff: record.switchedOff.includes(slug) && !isOn(slug),
    })),
    waterChanges: record.waterChanges.map((change) => ({
      id: change.id,
      words: waterChangeWords(change, tank.volumeL.toNumber()),
    })),
    volumeUnit: asVolumeUnit(visit.business.volumeUnit),
    causesFound: record.cases.flatMap(({ id, sign, cause, ruledOut }) => {
      const words = causeWords(sign, cause, ruledOut)
      return words === null ? [] : [{ id, words: inTradeWords(words, dialect) }]
    }),
    restart: leavingCheck(record.switchedOff).map((item) => ({
      ...item,
      text: inTradeWords(item.text, dialect),
      isOn: item.kind === 'switch' && isOn(item.slug),
    })),
    photos: photos.map(({ id, caption, forClient, hiddenAt }) => ({
      id,
      caption,
      forClient,
      hidden: hiddenAt !== null,
    })),
  }
}

/** Devices of the tank, as they are listed everywhere. */
const DEVICES_IN_SERVICE = {
  where: { removedOn: null },
  select: { id: true, equipmentClass: true, label: true },
  orderBy: [{ equipmentClass: 'asc' }, { label: 'asc' }, { id: 'asc' }],
} as const satisfies Prisma.Tank$equipmentsArgs

/** Devices that something was said of at this visit and that stand at the tank no more. */
async function exchangedDevices(
  tx: Transaction,
  { businessId, tankId }: { businessId: string; tankId: string },
  { findings, work, renewals }: VisitRecord,
  inService: readonly { id: string }[],
) {
  const here = new Set(inService.map(({ id }) => id))
  const ids = [...findings, ...work, ...renewals].map(({ equipmentId }) => equipmentId).filter((id) => !here.has(id))
  if (ids.length === 0) return []
  return tx.equipment.findMany({
    where: { businessId, tankId, id: { in: ids } },
    select: DEVICES_IN_SERVICE.select,
    orderBy: [...DEVICES_IN_SERVICE.orderBy],
  })
}

/** "Skimmer overflows: foam set too wet. Ruled out: …"; null for a sign or a cause that is none of the tables. */
function causeWords(sign: string, cause: string, ruledOut: readonly string[]): string | null {
  const family = findFamily(sign)
  const nameOf = (slug: string) => family?.causes.find((one) => one.slug === slug)?.name
  const found = nameOf(cause)
  if (!family || !found) return null
  const out = ruledOut.flatMap((slug) => nameOf(slug) ?? [])
  return `${family.sign}: ${found}.${out.length > 0 ? ` Ruled out: ${out.join('; ')}.` : ''}`
}

/** What was promised at other visits and is not kept yet. */
const promisesBefore = (visitId: string) =>
  ({
    where: { doneAt: null, OR: [{ visitId: null }, { visitId: { not: visitId } }] },
    orderBy: [{ dueOn: 'asc' }, { id: 'asc' }],
    select: { id: true, what: true, dueOn: true },
  }) as const satisfies Prisma.Tank$followUpsArgs

/** What the work done at this visit usually takes and nobody has written down yet, one line for each part. */
function partsToWriteDown(record: VisitRecord, { usedBy }: VisitParts) {
  const wanted = new Map<string, ReturnType<VisitParts['usedBy']>[number]>()
  for (const { equipmentId, task, partial } of record.work) {
    if (partial) continue
    for (const use of usedBy(equipmentId, task)) {
      const before = wanted.get(use.part.partId)
      wanted.set(use.part.partId, { ...use, quantity: use.quantity + (before?.quantity ?? 0) })
    }
  }
  return [...wanted.values()].flatMap(({ part, quantity }) => {
    const said = record.parts.filter(({ partId }) => partId === part.partId)
    const left = quantity - said.reduce((sum, use) => sum + use.quantity, 0)
    return left > 0 ? [{ part, quantity: Math.round(left * 1000) / 1000 }] : []
  })
}
