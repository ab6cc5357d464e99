import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { MEMBRANE_UNITS, WEAR_QUANTITIES, wearRulesOf } from '@/lib/trade'
import { asDay } from '../frame/days'
import { classWords } from './lane-views'

/** A figure that can be measured on a device of this visit's tank. */
export type AskedReading = {
  equipmentId: string
  label: string
  quantity: string
  name: string
  units: readonly string[]
  hint: string
  isInOut: boolean
  /** What was measured before, as typed, and when; blank: never. */
  last: string
  lastOn: string
  /** What was measured at this visit; blank: nothing yet. */
  said: string
}

/** A device of the visit's tank that is in service. */
type DeviceInService = { id: string; equipmentClass: string; label: string }

/** What shows wear on these devices of a visit's tank, with the last figure of each and what was measured at this visit. */
export async function readingsAskedIn(
  tx: Transaction,
  businessId: string,
  { visitId, devices }: { visitId: string; devices: readonly DeviceInService[] },
): Promise<AskedReading[]> {
  const measured = devices.filter(({ equipmentClass }) => wearRulesOf(equipmentClass).length > 0)
  const readings = await tx.reading.findMany({
    where: { businessId, equipmentId: { in: measured.map(({ id }) => id) }, correctedBy: null },
    select: {
      equipmentId: true,
      quantity: true,
      visitId: true,
      enteredValue: true,
      enteredUnit: true,
      takenOn: true,
    },
    orderBy: [{ takenAt: 'desc' }, { id: 'desc' }],
    take: READ_AT_MOST,
  })
  return measured.flatMap((device) =>
    wearRulesOf(device.equipmentClass).map(({ quantity }): AskedReading => {
      const own = readings.filter((one) => one.equipmentId === device.id && one.quantity === quantity)
      const last = own.find((one) => one.visitId !== visitId)
      const said = own.find((one) => one.visitId === visitId)
      const words = (one: (typeof own)[number]) => `${one.enteredValue} ${one.enteredUnit}`
      const { name, unit, hint } = WEAR_QUANTITIES[quantity]
      return {
        ...{ equipmentId: device.id, label: device.label || classWords(device.equipmentClass), quantity, name, hint },
        units: quantity === 'rejection' ? MEMBRANE_UNITS : [unit],
        isInOut: quantity === 'rejection',
        last: last ? words(last) : '',
        lastOn: last ? asDay(last.takenOn) : '',
        said: said ? words(said) : '',
      }
    }),
  )
}

const READ_AT_MOST = 200
