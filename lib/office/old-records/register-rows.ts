/** From a plan to the rows of the register: people, clients, sites, tanks, devices, agreements. Pure but for fresh ids. */
import type { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import type { RecordsHere, TankHere } from './existing'
import { siteKey } from './keys'
import type { ImportPlan, PlannedEquipment, PlannedTank } from './plan-types'

/** What every row of an import carries. */
export type Brought = { businessId: string; importBatchId: string }
export type RegisterRows = {
  person: Prisma.PersonCreateManyInput[]
  client: Prisma.ClientCreateManyInput[]
  site: Prisma.SiteCreateManyInput[]
  tank: Prisma.TankCreateManyInput[]
  tankClient: Prisma.TankClientCreateManyInput[]
  slot: Prisma.SlotCreateManyInput[]
  equipment: Prisma.EquipmentCreateManyInput[]
  agreement: Prisma.AgreementCreateManyInput[]
}
/** Where each key of the plan is in the register, new rows and those already here alike. */
export type Places = {
  clients: ReadonlyMap<string, string>
  sites: ReadonlyMap<string, string>
  people: ReadonlyMap<string, string>
  tanks: ReadonlyMap<string, TankHere>
  devices: ReadonlyMap<string, { id: string; slotId: string; equipmentClass: string; words: string }>
}

/** Minutes of an agreed visit where the records have none. Common practice, no source. */
const USUAL_MINUTES = 45

export const dateColumn = (isoDate: string) => new Date(`${isoDate}T00:00:00Z`)

/** `today`: the business's local day; a tank without visits is with its client since then. */
export function registerRows(
  plan: ImportPlan,
  here: RecordsHere,
  brought: Brought,
  today: string,
): { rows: RegisterRows; places: Places } {
  const clients = new Map(here.ids.clients)
  const sites = new Map(here.ids.sites)
  const people = new Map(here.ids.people)
  const tanks = new Map(here.tanksHere)
  const devices = new Map<string, Places['devices'] extends ReadonlyMap<string, infer D> ? D : never>(here.devicesHere)
  const rows: RegisterRows = {
    person: [],
    client: [],
    site: [],
    tank: [],
    tankClient: [],
    slot: [],
    equipment: [],
    agreement: [],
  }
  const past = pastOfTanks(plan)

  for (const { key, name } of plan.people) {
    if (people.has(key)) continue
    const id = newId()
    people.set(key, id)
    rows.person.push({ ...brought, id, name, isTechnician: true })
  }
  for (const { key, name, email, phone, paymentDays } of plan.clients) {
    const id = newId()
    clients.set(key, id)
    rows.client.push({ ...brought, id, name, email: email ?? '', phone: phone ?? '', paymentTermsDays: paymentDays })
  }
  const nameOfClient = new Map(plan.clients.map((client) => [client.key, client.name]))
  const addSite = (
    key: string,
    ofClient: string,
    site: { address: string | null; latitude: number | null; longitude: number | null },
  ) => {
    const id = newId()
    const { address, latitude, longitude } = site
    sites.set(key, id)
    rows.site.push({
      ...brought,
      id,
      clientId: known(clients, ofClient),
      name: placeName(address) || nameOfClient.get(ofClient) || 'Main place',
      address: address ?? '',
      latitude,
      longitude,
    })
    return id
  }
  for (const site of plan.sites) addSite(site.key, site.clientKey, site)
  for (const tank of plan.tanks) {
    const id = newId()
    const clientId = known(clients, tank.clientKey)
    // A client that is here may have no place yet: its nameless one is made.
    const siteId =
      sites.get(tank.siteKey) ??
      addSite(siteKey(tank.clientKey, null), tank.clientKey, { address: null, latitude: null, longitude: null })
    const since = dateColumn(past.get(tank.key)?.first ?? today)
    tanks.set(tank.key, { id, siteId, timeZone: null, clients: [{ clientId, since, until: null }] })
    rows.tank.push({
      ...brought,
      id,
      clientId,
      siteId,
      name: tank.name,
      profile: tank.kind ?? tank.kindWords,
      volumeL: tank.volumeL,
      hasStringyRefugium: tank.refugium,
    })
    rows.tankClient.push({ ...brought, id: newId(), clientId, tankId: id, since })
    const agreement = agreementOf(tank, past.get(tank.key), today)
    if (agreement) rows.agreement.push({ ...brought, id: newId(), clientId, tankId: id, ...agreement })
  }
  const firstSeen = firstSeenOn(plan)
  for (const device of plan.equipment) {
    const id = newId()
    const slotId = newId()
    const tankId = known(tanks, device.tankKey).id
    const { classSlug: equipmentClass, classWords: words, installed } = device
    const label = labelOf(device)
    const seen = firstSeen.get(device.key)
    devices.set(device.key, { id, slotId, equipmentClass, words })
    rows.slot.push({ ...brought, id: slotId, tankId, equipmentClass, label })
    rows.equipment.push({
      ...brought,
      id,
      tankId,
      slotId,
      equipmentClass,
      label,
      ownWords: words,
      installedOn: installed === null ? null : dateColumn(installed),
      installedConfirmedNew: false, // only a person can say that it was new to us
      firstSeenOn: seen === undefined ? null : dateColumn(seen),
    })
  }
  return { rows, places: { clients, sites, people, tanks, devices } }
}

/** The planner only plans with keys it has: a missing one is a bug, not an input. */
function known<T>(map: ReadonlyMap<string, T>, key: string): T {
  const value = map.get(key)
  if (value === undefined) throw new Error(`the plan names ${key}, which is neither planned nor here`)
  return value
}

const labelOf = ({ label, classWords }: PlannedEquipment) =>
  label ?? classWords.charAt(0).toUpperCase() + classWords.slice(1)

type Past = { first: string; lastRoutine: string | null; minutes: number[] }

/** Visits of the plan are in order of date. */
function pastOfTanks(plan: ImportPlan): Map<string, Past> {
  const byTank = new Map<string, Past>()
  for (const { tankKey, date, kind, minutes } of plan.visits) {
    const past = byTank.get(tankKey) ?? { first: date, lastRoutine: null, minutes: [] }
    byTank.set(tankKey, past)
    if (kind !== 'routine') continue
    past.lastRoutine = date
    if (minutes !== null) past.minutes.push(minutes)
  }
  return byTank
}

/** The round goes on from the last routine visit; the fee is not in the files, so that nothing is billed until somebody sets it. */
function agreementOf(tank: PlannedTank, past: Past | undefined, today: string) {
  if (tank.everyWeeks === null) return null
  const anchor = dateColumn(past?.lastRoutine ?? today)
  const minutes = past?.minutes.sort((a, b) => a - b)[Math.floor(past.minutes.length / 2)] ?? USUAL_MINUTES
  return {
    everyDays: tank.everyWeeks * 7,
    anchorOn: anchor,
    startsOn: anchor,
    visitMinutes: minutes,
    monthlyFeeMinor: 0,
  }
}

function firstSeenOn(plan: ImportPlan): Map<string, string> {
  const seen = new Map<string, string>()
  for (const { date, rows } of plan.visits)
    for (const { equipmentKey } of rows)
      if (equipmentKey !== null && !seen.has(equipmentKey)) seen.set(equipmentKey, date)
  return seen
}

/** What a place is called by its address: what stands before the first comma, and the street after a number that stands alone. */
export function placeName(address: string | null): string {
  const [first = '', ...rest] = (address ?? '').split(/[,\n]/).map((part) => part.trim())
  return /\p{L}{2}/u.test(first) ? first : [first, rest[0]].filter(Boolean).join(', ')
}
