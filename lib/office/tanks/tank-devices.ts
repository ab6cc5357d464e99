import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { failureModes, findClass, findMode } from '@/lib/trade/catalogue'
import { asDay } from '../frame/days'

export type DeviceWords = {
  id: string
  slotId: string
  slotLabel: string
  label: string
  className: string
  equipmentClass: string
  installedOn: string | null
  /** From when it is reckoned: put in, or exchanged since by work that only a new one renews. Null where nobody knows. */
  newSince: string | null
  /** `newSince` is a later exchange in our records, not the day that was told. */
  wasExchanged: boolean
  confirmedNew: boolean
  firstSeenOn: string | null
  /** "3 years", "unknown"; of what is still in place. */
  age: string
  removedOn: string | null
  removedBecause: string | null
  note: string
  ownWords: string
}

/** All devices of a tank: those in place first, by class and place, then those taken out, newest first. */
export async function devicesOf(
  tx: Transaction,
  businessId: string,
  tankId: string,
  today: Date,
): Promise<DeviceWords[]> {
  const devices = await tx.equipment.findMany({
    where: { businessId, tankId },
    include: { slot: { select: { label: true } } },
    orderBy: [
      { removedOn: { sort: 'desc', nulls: 'first' } },
      { equipmentClass: 'asc' },
      { label: 'asc' },
      { id: 'asc' },
    ],
  })
  const exchangedOn = await readExchanges(
    tx,
    businessId,
    devices.map(({ id }) => id),
  )
  return devices.map((device) => {
    const exchanged = exchangedOn.get(device.id)
    const wasExchanged = exchanged !== undefined && (device.installedOn === null || exchanged > device.installedOn)
    const since = wasExchanged ? exchanged : device.installedOn
    return {
      id: device.id,
      slotId: device.slotId,
      slotLabel: device.slot.label,
      label: device.label,
      className: findClass(device.equipmentClass)?.name ?? device.equipmentClass,
      equipmentClass: device.equipmentClass,
      installedOn: asDay(device.installedOn),
      confirmedNew: device.installedConfirmedNew,
      firstSeenOn: asDay(device.firstSeenOn),
      newSince: asDay(since),
      wasExchanged,
      age: since === null ? 'unknown' : ageWords(since, today),
      removedOn: asDay(device.removedOn),
      removedBecause:
        device.removedBecauseMode === null
          ? null
          : (findMode(device.removedBecauseMode)?.name ?? device.removedBecauseMode),
      note: device.note,
      ownWords: device.ownWords,
    }
  })
}

const ONLY_BY_REPLACING = failureModes.filter((mode) => mode.renewedOnlyByReplacing).map(({ slug }) => slug)

/** When each device was last exchanged as a whole: what nothing but a new one renews says so, as it does for what is due. */
async function readExchanges(tx: Transaction, businessId: string, equipmentIds: string[]): Promise<Map<string, Date>> {
  const rows = await tx.renewal.groupBy({
    by: ['equipmentId'],
    where: {
      ...{ businessId, equipmentId: { in: equipmentIds }, failureMode: { in: ONLY_BY_REPLACING } },
      ...{ isPartial: false, correctedBy: { is: null } },
    },
    _max: { renewedOn: true },
  })
  return new Map(rows.flatMap(({ equipmentId, _max }) => (_max.renewedOn ? [[equipmentId, _max.renewedOn]] : [])))
}

const DAYS_PER_MONTH = 365.25 / 12

/** An age as one says it: days, then weeks, then months, then years. */
function ageWords(since: Date, today: Date): string {
  const days = Math.max(0, Math.round((today.getTime() - since.getTime()) / 86_400_000))
  const say = (count: number, unit: string) => `${count} ${unit}${count === 1 ? '' : 's'}`
  if (days < 14) return say(days, 'day')
  if (days < 70) return say(Math.floor(days / 7), 'week')
  const months = Math.floor(days / DAYS_PER_MONTH)
  return months < 24 ? say(months, 'month') : say(Math.floor(months / 12), 'year')
}
