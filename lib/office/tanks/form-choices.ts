import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { equipmentClasses } from '@/lib/trade/catalogue'
import { type Choice, clientChoices, siteChoices } from '../clients/choices'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, dayIn } from '../frame/days'
import { asVolumeUnit, VOLUME_UNIT_WORDS, type VolumeUnit, volumeIn } from '../frame/typed-figures'
import { KIND_CHOICES } from './kind-words'
import { EMPTY_TANK, type TankFields } from './schema'

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

/** What the form of a tank needs. */
export function tankFormChoices(actor: Actor): Promise<TankFormChoices> {
  return inBusiness(actor, (tx) => readChoices(tx, actor.businessId))
}

async function readChoices(tx: Transaction, businessId: string): Promise<TankFormChoices> {
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
}

export type TankForm = { id: string; name: string; clientId: string; fields: TankFields; choices: TankFormChoices }

/** A tank as its form shows it; null where it is not there or was merged into another. */
export function findTankForm(actor: Actor, tankId: string): Promise<TankForm | null> {
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
      isHeavilyStocked: tank.isHeavilyStocked,
      hasFurryPets: tank.hasFurryPets,
      hasHardTapWater: tank.hasHardTapWater,
      isNearKitchenOrSmoke: tank.isNearKitchenOrSmoke,
      dangerousAnimals: tank.dangerousAnimals,
      takenOverOn: asDay(tank.takenOverOn) ?? '',
      isolator: tank.tankPrivate?.isolator ?? '',
      shutOffs: tank.tankPrivate?.shutOffs ?? '',
      faultsAtTakeover: tank.tankPrivate?.faultsAtTakeover ?? '',
      note: tank.tankPrivate?.note ?? '',
    }
    const choices = await readChoices(tx, businessId)
    return { id: tank.id, name: tank.name, clientId: tank.clientId, fields, choices }
  })
}
