import 'server-only'
import { equipmentClasses, modesOf } from '@/lib/trade/catalogue'
import type { Choice } from '../clients/choices'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, dayIn } from '../frame/days'
import { classChoices } from './form-choices'

/** What can end the life of a device of this class. */
function modeChoices(equipmentClass: string): Choice[] {
  return modesOf(equipmentClass).map(({ slug, name }) => ({ value: slug, label: name }))
}

export type DeviceForm = {
  businessId: string
  today: string
  tank: { id: string; name: string }
  device: {
    id: string
    label: string
    className: string
    installed: 'on' | 'unknown'
    installedOn: string
    confirmedNew: boolean
    note: string
    isRemoved: boolean
  }
  modes: Choice[]
}

/** A device as its forms show it; null where it is not there. */
export function findDevice(actor: Actor, tankId: string, equipmentId: string): Promise<DeviceForm | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const device = await tx.equipment.findFirst({
      where: { businessId, id: equipmentId, tankId },
      include: { tank: { select: { name: true } }, business: { select: { timeZone: true } } },
    })
    if (!device) return null
    const name = equipmentClasses.find(({ slug }) => slug === device.equipmentClass)?.name
    return {
      businessId,
      today: dayIn(device.business.timeZone, new Date()),
      tank: { id: device.tankId, name: device.tank.name },
      device: {
        id: device.id,
        label: device.label,
        className: name ?? device.equipmentClass,
        installed: device.installedOn === null ? 'unknown' : 'on',
        installedOn: asDay(device.installedOn) ?? '',
        confirmedNew: device.installedConfirmedNew,
        note: device.note,
        isRemoved: device.removedOn !== null,
      },
      modes: modeChoices(device.equipmentClass),
    }
  })
}

export type NewDeviceForm = {
  businessId: string
  tank: { id: string; name: string }
  classes: Choice[]
  /** Places whose device was taken out and that wait for another. */
  emptySlots: { id: string; label: string; equipmentClass: string }[]
}

/** What the form of a new device needs; null where the tank is not there. */
export function findNewDevice(actor: Actor, tankId: string): Promise<NewDeviceForm | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const tank = await tx.tank.findFirst({
      where: { businessId, id: tankId, mergedIntoId: null },
      select: {
        id: true,
        name: true,
        slots: {
          where: { archivedAt: null, equipments: { none: { removedOn: null } } },
          select: { id: true, label: true, equipmentClass: true },
          orderBy: [{ label: 'asc' }, { id: 'asc' }],
        },
      },
    })
    if (!tank) return null
    return { businessId, tank: { id: tank.id, name: tank.name }, classes: classChoices(), emptySlots: tank.slots }
  })
}
