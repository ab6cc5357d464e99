import 'server-only'
import type { RepeatFault } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { inTradeWords, tradeDialectOf } from '@/lib/trade/trade-words'
import { accessWindowWords, readAccessWindows } from '../clients/access-windows'
import { AS_OF_COLUMNS, type AsOf, asOfBusiness, dueForTanksIn, lanesOfTankIn, type SoonRow } from '../due/queries'
import { ratioWords } from '../faults/fault-words'
import { fallenFaults } from '../faults/remedies'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, asDbDate, daysBetween } from '../frame/days'
import { asVolumeUnit, VOLUME_UNIT_WORDS, volumeIn } from '../frame/typed-figures'
import { dayOf } from '../lanes/day-numbers'
import { modeWords } from '../lanes/lane-views'
import { wearOfTankIn } from '../lanes/wear'
import { withWear } from '../lanes/wear-lanes'
import { refillsOfTankIn } from '../refills/queries'
import type { RefillView } from '../refills/refill-view'
import { kindWords } from './kind-words'
import { type DeviceWords, devicesOf } from './tank-devices'
import { type PastOfTank, pastOfTank } from './tank-past'

const USUAL_HORIZON_DAYS = 14

export type AgreementWords = {
  id: string
  everyDays: number
  visitMinutes: number
  monthlyFeeMinor: number
  includes: string
  technicianName: string | null
  purchaseOrder: string
  startsOn: string
  endsOn: string | null
}
export type TankPage = PastOfTank & {
  id: string
  businessId: string
  today: string
  locale: string
  currency: string
  timeZone: string
  name: string
  kind: string
  profile: string
  volume: string
  volumeL: number
  grossVolume: string | null
  levelMarkDisplayMm: number | null
  levelMarkSumpMm: number | null
  hasStringyRefugium: boolean
  hasFineSand: boolean
  isHeavilyStocked: boolean
  hasFurryPets: boolean
  hasHardTapWater: boolean
  isNearKitchenOrSmoke: boolean
  dangerousAnimals: string
  takenOverOn: string | null
  isArchived: boolean
  mergedIntoId: string | null
  isolator: string
  /** What that is called in the country of the business. */
  isolatorWords: string
  shutOffs: string
  faultsAtTakeover: string
  note: string
  client: { id: string; name: string }
  payer: { id: string; name: string } | null
  site: {
    id: string
    name: string
    address: string
    accessNote: string
    accessWindows: string[]
    contacts: { name: string; role: string; phone: string; email: string }[]
  }
  holders: { clientName: string; clientId: string; since: string; until: string | null }[]
  agreement: AgreementWords | null
  agreements: AgreementWords[]
  devices: DeviceWords[]
  lanes: Awaited<ReturnType<typeof lanesOfTankIn>>
  /** What is due by the next visit, or within a fortnight where none is booked. */
  due: SoonRow[]
  /** Containers, and whether each lasts until the next visit. */
  refills: RefillView[]
  /** Faults that come back here more often than the route explains, in words. */
  repeats: { equipmentClass: string; failureMode: string; what: string; words: string; observed: number }[]
}

/**
 * All that the page of a tank shows, or null where it is not there (or another business's: we do not say which). A tank
 * that was merged answers with `mergedIntoId` set and otherwise as it was left.
 */
export function findTank(actor: Actor, tankId: string): Promise<TankPage | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const tank = await tx.tank.findUnique({
      where: { businessId_id: { businessId, id: tankId } },
      include: {
        tankPrivate: true,
        business: { select: { ...AS_OF_COLUMNS, volumeUnit: true } },
        mergedFrom: { select: { id: true }, orderBy: { id: 'asc' } },
        repeatFaults: { where: { isSure: true }, orderBy: { rank: 'asc' } },
        client: { select: { id: true, name: true } },
        site: { include: { sitePrivate: true, siteContacts: { orderBy: { id: 'asc' } }, payerClient: true } },
        tankClients: { include: { client: { select: { name: true } } }, orderBy: [{ since: 'asc' }, { id: 'asc' }] },
      },
    })
    if (!tank) return null
    const now = new Date()
    const { business } = tank
    const at = asOfBusiness(business, now)
    const { today } = at
    // A tank and every duplicate merged into it: history stays under the id it was written with.
    const family = [tankId, ...tank.mergedFrom.map(({ id }) => id)]
    const agreements = await agreementsOf(tx, businessId, family)
    const unit = asVolumeUnit(business.volumeUnit)
    const inUnit = (volumeL: number) => `${volumeIn(unit, volumeL)} ${VOLUME_UNIT_WORDS[unit]}`
    const past = await pastOfTank(tx, { businessId, tankIds: family, today, profile: tank.profile })
    const horizonDays = past.nextVisit ? daysBetween(today, past.nextVisit.on) : USUAL_HORIZON_DAYS
    return {
      ...past,
      id: tank.id,
      businessId,
      today,
      locale: business.locale,
      currency: business.currency,
      timeZone: tank.site.timeZone ?? business.timeZone,
      name: tank.name,
      kind: kindWords(tank.profile),
      profile: tank.profile,
      volume: inUnit(tank.volumeL.toNumber()),
      volumeL: tank.volumeL.toNumber(),
      grossVolume: tank.grossVolumeL === null ? null : inUnit(tank.grossVolumeL.toNumber()),
      levelMarkDisplayMm: tank.levelMarkDisplayMm?.toNumber() ?? null,
      levelMarkSumpMm: tank.levelMarkSumpMm?.toNumber() ?? null,
      hasStringyRefugium: tank.hasStringyRefugium,
      hasFineSand: tank.hasFineSand,
      isHeavilyStocked: tank.isHeavilyStocked,
      hasFurryPets: tank.hasFurryPets,
      hasHardTapWater: tank.hasHardTapWater,
      isNearKitchenOrSmoke: tank.isNearKitchenOrSmoke,
      dangerousAnimals: tank.dangerousAnimals,
      takenOverOn: asDay(tank.takenOverOn),
      isArchived: tank.archivedAt !== null,
      mergedIntoId: tank.mergedIntoId,
      isolator: tank.tankPrivate?.isolator ?? '',
      isolatorWords: inTradeWords('Fuse board, isolator', tradeDialectOf(business.country)),
      shutOffs: tank.tankPrivate?.shutOffs ?? '',
      faultsAtTakeover: tank.tankPrivate?.faultsAtTakeover ?? '',
      note: tank.tankPrivate?.note ?? '',
      client: tank.client,
      payer: tank.site.payerClient && { id: tank.site.payerClient.id, name: tank.site.payerClient.name },
      site: {
        id: tank.site.id,
        name: tank.site.name,
        address: [tank.site.address, tank.site.postcode, tank.site.city].filter((part) => part !== '').join(', '),
        accessNote: tank.site.sitePrivate?.accessNote ?? '',
        accessWindows: readAccessWindows(tank.site.sitePrivate?.accessWindows).map(accessWindowWords),
        contacts: tank.site.siteContacts.map(({ name, role, phone, email }) => ({ name, role, phone, email })),
      },
      holders: tank.tankClients.map((row) => ({
        clientName: row.client.name,
        clientId: row.clientId,
        since: asDay(row.since),
        until: asDay(row.until),
      })),
      agreement:
        agreements.find((row) => row.startsOn <= today && (row.endsOn === null || row.endsOn >= today)) ?? null,
      agreements,
      devices: await devicesOf(tx, businessId, tankId, asDbDate(today)),
      lanes: withWear(
        await lanesOfTankIn(tx, businessId, tankId, at.names),
        await wearOfTankIn(tx, businessId, tankId),
      ),
      refills: await refillsOfTankIn(tx, businessId, family, { today, locale: business.locale }),
      due: (await dueForTanksIn(tx, businessId, [tankId], at, horizonDays)).get(tankId) ?? [],
      repeats: await repeatsOf(tx, businessId, tank.repeatFaults, at),
    }
  })
}

async function repeatsOf(
  tx: Transaction,
  businessId: string,
  faults: readonly RepeatFault[],
  { today, names }: AsOf,
): Promise<TankPage['repeats']> {
  const hasFallen = await fallenFaults(tx, businessId, faults, dayOf(new Date(today)))
  return faults.map((fault) => ({
    equipmentClass: fault.equipmentClass,
    failureMode: fault.failureMode,
    what: modeWords(fault.failureMode, names),
    words: `${ratioWords(fault)}${hasFallen(fault) ? '; since the remedy it fell' : ''}`,
    observed: fault.observed,
  }))
}

async function agreementsOf(tx: Transaction, businessId: string, tankIds: string[]): Promise<AgreementWords[]> {
  const agreements = await tx.agreement.findMany({
    where: { businessId, tankId: { in: tankIds } },
    include: { preferredPerson: { select: { name: true } } },
    orderBy: [{ startsOn: 'desc' }, { id: 'desc' }],
  })
  return agreements
    .map((row) => ({
      id: row.id,
      everyDays: row.everyDays,
      visitMinutes: row.visitMinutes,
      monthlyFeeMinor: row.monthlyFeeMinor,
      includes: row.includes,
      technicianName: row.preferredPerson?.name ?? null,
      purchaseOrder: row.purchaseOrder,
      startsOn: asDay(row.startsOn),
      endsOn: asDay(row.endsOn),
    }))
    .filter((row) => row.endsOn === null || row.endsOn >= row.startsOn)
}
