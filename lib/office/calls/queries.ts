import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import {
  FIRST_ON_THE_PHONE,
  findClass,
  findTask,
  inTradeWords,
  phoneScriptsFor,
  phoneSignWords,
  TANK_KINDS,
  tradeDialectOf,
} from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay } from '../frame/days'
import { listTanks } from '../tanks/list-tanks'

const FOUND_MOST = 20
const CALLS_SHOWN = 5

export type FoundTank = { id: string; name: string; siteName: string; city: string; clientName: string }

/** Tanks by any word that somebody says on the telephone: client, site, street, tank. Nothing without a word. */
export async function tanksByWords(actor: Actor, words: string): Promise<{ tanks: FoundTank[]; more: number }> {
  if (words === '') return { tanks: [], more: 0 }
  const { rows, total } = await listTanks(actor, { q: words, page: 1, archived: '' })
  const tanks = rows
    .slice(0, FOUND_MOST)
    .map(({ id, name, siteName, city, clientName }) => ({ id, name, siteName, city, clientName }))
  return { tanks, more: total - tanks.length }
}

export type CallPage = NonNullable<Awaited<ReturnType<typeof callPage>>>

/** All that whoever answers needs while they are on the line. Null where there is no such tank in this business. */
export function callPage(actor: Actor, tankId: string) {
  return inBusiness(actor, (tx) => callPageIn(tx, actor.businessId, tankId))
}

async function callPageIn(tx: Transaction, businessId: string, tankId: string) {
  const tank = await tx.tank.findFirst({
    where: { businessId, id: tankId, mergedIntoId: null },
    include: {
      tankPrivate: true,
      client: { select: { name: true, phone: true } },
      site: { include: { siteContacts: { orderBy: { name: 'asc' } }, sitePrivate: { select: { accessNote: true } } } },
      business: { select: { country: true, timeZone: true, locale: true } },
      equipments: {
        where: { removedOn: null },
        select: { id: true, equipmentClass: true, label: true },
        orderBy: [{ equipmentClass: 'asc' }, { label: 'asc' }, { id: 'asc' }],
      },
      phoneCalls: {
        include: { person: { select: { name: true } } },
        orderBy: [{ rangAt: 'desc' }, { id: 'desc' }],
        take: CALLS_SHOWN,
      },
      visits: {
        where: { state: { in: ['done', 'under_way'] } },
        orderBy: [{ localDate: 'desc' }, { id: 'desc' }],
        take: 1,
        select: {
          id: true,
          localDate: true,
          state: true,
          technician: { select: { name: true } },
          visitPrivate: { select: { noteForUs: true } },
          renewals: { where: { isPartial: false, correctedBy: { is: null } }, select: { careTask: true } },
        },
      },
    },
  })
  if (!tank) return null
  const { site, client, business, equipments: devices, phoneCalls, visits } = tank
  const dialect = tradeDialectOf(business.country)
  const words = (said: string) => inTradeWords(said, dialect)
  const tankKind = TANK_KINDS.find((kind) => kind === tank.profile)
  const fitted = devices.map(({ equipmentClass }) => equipmentClass)
  const scripts = phoneScriptsFor({ tankKind, fitted, stings: tank.dangerousAnimals !== '' })
  const [last] = visits
  return {
    ...{ businessId, tankId, name: tank.name, clientName: client.name, siteName: site.name },
    ...{ timeZone: business.timeZone, locale: business.locale },
    address: [site.address, site.postcode, site.city].filter(Boolean).join(', '),
    accessNote: site.sitePrivate?.accessNote ?? '',
    phones: [
      ...site.siteContacts.map(({ id, name, role, phone }) => ({ id, name, role, phone })),
      { id: 'client', name: client.name, role: '', phone: client.phone },
    ].filter(({ phone }) => phone !== ''),
    isolatorWords: words('Fuse board, isolator'),
    isolator: tank.tankPrivate?.isolator ?? '',
    shutOffs: tank.tankPrivate?.shutOffs ?? '',
    note: tank.tankPrivate?.note ?? '',
    dangerousAnimals: tank.dangerousAnimals,
    devices: devices.map(({ id, label, equipmentClass }) => ({
      id,
      name: label || words(findClass(equipmentClass)?.name ?? equipmentClass),
    })),
    lastVisit: last
      ? {
          ...{ id: last.id, on: asDay(last.localDate), isUnderWay: last.state === 'under_way' },
          technician: last.technician?.name ?? '',
          note: last.visitPrivate?.noteForUs ?? '',
          done: [...new Set(last.renewals.map(({ careTask }) => words(findTask(careTask)?.name ?? careTask)))],
        }
      : null,
    first: FIRST_ON_THE_PHONE.map(words),
    scripts: scripts.map(({ slug, says, tell, verdict, when }) => ({
      ...{ slug, verdict, says: words(says) },
      tell: tell.map((step) => words(step.text)),
      when: when.map((step) => words(step.text)),
    })),
    calls: phoneCalls.map(({ id, rangAt, person, sign, said, told, verdict }) => ({
      ...{ id, said, told, person: person.name, goes: verdict === 'go', at: rangAt.toISOString() },
      sign: phoneSignWords(sign) ?? '',
    })),
  }
}
