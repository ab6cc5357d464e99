import 'server-only'
import { MEMBRANE_UNITS, WEAR_QUANTITIES, wearRulesOf } from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
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

/** What shows wear on the devices of a visit's tank, with the last figure of each and what was measured at this visit. */
export function readingsAskedAt(actor: Actor, visitId: string): Promise<AskedReading[]> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const visit = await tx.visit.findFirst({ where: { businessId, id: visitId }, select: { tankId: true } })
    if (!visit) return []
    const devices = await tx.equipment.findMany({
      where: { businessId, tankId: visit.tankId, removedOn: null },
      select: { id: true, equipmentClass: true, label: true },
      orderBy: [{ equipmentClass: 'asc' }, { label: 'asc' }, { id: 'asc' }],
    })
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
  })
}

const READ_AT_MOST = 200
