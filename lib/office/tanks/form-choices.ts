import 'server-only'
import { equipmentClasses, modesOf } from '@/lib/trade/catalogue'
import { type Actor, inBusiness } from '../actor'
import { type Choice, clientChoices, siteChoices } from '../clients/choices'
import { asDay, dayIn } from '../clients/days'
import { minorToDecimalText } from '../money/currency'
import { KIND_CHOICES } from './kind-words'
import { type AgreementFields, EMPTY_TANK, type TankFields } from './schema'
import { asVolumeUnit, VOLUME_UNIT_WORDS, type VolumeUnit, volumeIn } from './typed-figures'

export type ClassChoice = Choice & { tankKinds: readonly string[] }
export type TankFormChoices = {
  businessId: string
  today: string
  volumeUnit: VolumeUnit
  volumeUnitWords: string
  sites: (Choice & { clientId: string })[]
  clients: Choice[]
  kinds: readonly Choice[]
  classes: ClassChoice[]
}

/** The kinds of equipment of the catalogue, by name. */
export function classChoices(): ClassChoice[] {
  return equipmentClasses
    .map(({ slug, name, tankKinds }) => ({ value: slug, label: name, tankKinds }))
    .sort((a, b) => a.label.localeCompare(b.label, 'en'))
}

/** What can end the life of a device of this class. */
export function modeChoices(equipmentClass: string): Choice[] {
  return modesOf(equipmentClass).map(({ slug, name }) => ({ value: slug, label: name }))
}

/** What the form of a tank needs. */
export function tankFormChoices(actor: Actor): Promise<TankFormChoices> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const business = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { timeZone: true, volumeUnit: true },
    })
    const volumeUnit = asVolumeUnit(business.volumeUnit)
    return {
      businessId,
      today: dayIn(business.timeZone, new Date()),
      volumeUnit,
      volumeUnitWords: VOLUME_UNIT_WORDS[volumeUnit],
      sites: await siteChoices(tx, businessId),
      clients: await clientChoices(tx, businessId),
      kinds: KIND_CHOICES,
      classes: classChoices(),
    }
  })
}

/** A tank as its form shows it; null where it is not there or was merged into another. */
export function findTankFields(
  actor: Actor,
  tankId: string,
): Promise<{ id: string; name: string; clientId: string; fields: TankFields } | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const tank = await tx.tank.findFirst({
      where: { businessId, id: tankId, mergedIntoId: null },
      include: { tankPrivate: true, business: { select: { volumeUnit: true } } },
    })
    if (!tank) return null
    const volumeUnit = asVolumeUnit(tank.business.volumeUnit)
    const inUnit = (volumeL: number) => String(volumeIn(volumeUnit, volumeL))
    const fields: TankFields = {
      ...EMPTY_TANK,
      siteId: tank.siteId,
      name: tank.name,
      // A kind from old records that is none of ours leaves the choice open: the form asks.
      profile: tank.profile as TankFields['profile'],
      volume: inUnit(tank.volumeL.toNumber()),
      volumeUnit,
      grossVolume: tank.grossVolumeL === null ? '' : inUnit(tank.grossVolumeL.toNumber()),
      levelMarkDisplayMm: tank.levelMarkDisplayMm === null ? '' : String(tank.levelMarkDisplayMm.toNumber()),
      levelMarkSumpMm: tank.levelMarkSumpMm === null ? '' : String(tank.levelMarkSumpMm.toNumber()),
      hasStringyRefugium: tank.hasStringyRefugium,
      hasFineSand: tank.hasFineSand,
      dangerousAnimals: tank.dangerousAnimals,
      takenOverOn: asDay(tank.takenOverOn) ?? '',
      breaker: tank.tankPrivate?.breaker ?? '',
      shutOffs: tank.tankPrivate?.shutOffs ?? '',
      faultsAtTakeover: tank.tankPrivate?.faultsAtTakeover ?? '',
      note: tank.tankPrivate?.note ?? '',
    }
    return { id: tank.id, name: tank.name, clientId: tank.clientId, fields }
  })
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

export type AgreementForm = {
  businessId: string
  tank: { id: string; name: string }
  current: { id: string; startsOn: string; endsOn: string | null } | null
  fields: AgreementFields
  technicians: Choice[]
}

/** The running agreement as its form shows it, or an empty form; null where the tank is not there. */
export function findAgreementForm(actor: Actor, tankId: string): Promise<AgreementForm | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const tank = await tx.tank.findFirst({
      where: { businessId, id: tankId, mergedIntoId: null },
      include: { agreements: { orderBy: [{ startsOn: 'desc' }, { id: 'desc' }] }, business: true },
    })
    if (!tank) return null
    const { currency, timeZone } = tank.business
    const today = dayIn(timeZone, new Date())
    const current = tank.agreements.find((row) => row.endsOn === null || asDay(row.endsOn) >= today)
    const technicians = await tx.person.findMany({
      where: { businessId, isTechnician: true, archivedAt: null, mergedIntoId: null },
      select: { id: true, name: true },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const everyDays = current?.everyDays ?? 14
    const inWeeks = everyDays % 7 === 0
    return {
      businessId,
      tank: { id: tank.id, name: tank.name },
      current: current ? { id: current.id, startsOn: asDay(current.startsOn), endsOn: asDay(current.endsOn) } : null,
      fields: {
        tankId: tank.id,
        every: current ? String(inWeeks ? everyDays / 7 : everyDays) : '',
        everyUnit: inWeeks ? 'weeks' : 'days',
        anchorOn: current ? asDay(current.anchorOn) : today,
        visitMinutes: String(current?.visitMinutes ?? 45),
        monthlyFee: current ? minorToDecimalText(current.monthlyFeeMinor, currency) : '',
        currency,
        includes: current?.includes ?? '',
        preferredPersonId: current?.preferredPersonId ?? '',
        purchaseOrder: current?.purchaseOrder ?? '',
        startsOn: today,
      },
      technicians: technicians.map(({ id, name }) => ({ value: id, label: name })),
    }
  })
}
