import 'server-only'
import { findClass } from '@/lib/trade/catalogue'
import { bookedVisits, nameSome } from '../clients/hindrances'
import { notThere } from '../clients/register-command'
import { oneRowSchema } from '../clients/schema'
import { todayOf } from '../frame/business-day'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDay, asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { readFigure, readVolumeL, volumeIn } from '../frame/typed-figures'
import { recomputeDue } from '../lanes/commands'
import { deviceColumns, installedDay, inTheFuture } from './device-columns'
import { type AddTankInput, addTankSchema, editTankSchema, type TankFields } from './schema'

/**
 * Takes over a tank with its equipment. The tank's id is the command's, each device's id the one of its row. The tank
 * belongs to the site's client.
 */
export const addTank = defineCommand(
  { kind: 'tank.add', may: 'register.change', schema: addTankSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const today = await todayOf(context)
    const problem = takeOverProblem(input, today)
    if (problem) return problem
    const site = await findSite(context, input.siteId)
    if (!site)
      return invalid({ siteId: ['This site is not in the register any more, or is archived. Choose another.'] })
    const takenOverOn = input.takenOverOn === '' ? today : input.takenOverOn
    const columns = { ...columnsOf({ ...input, takenOverOn }), clientId: site.clientId }
    const tank = await tx.tank.create({ data: { businessId, id: commandId, ...columns } })
    await tx.tankPrivate.create({
      data: { businessId, id: commandId, tankId: commandId, ...privateColumnsOf(input) },
    })
    await tx.tankClient.create({
      data: { businessId, id: commandId, tankId: commandId, clientId: site.clientId, since: asDbDate(takenOverOn) },
    })
    await tx.slot.createMany({
      data: input.equipment.map(({ id, equipmentClass, label }) => ({
        businessId,
        id,
        tankId: commandId,
        equipmentClass,
        label,
      })),
    })
    await tx.equipment.createMany({
      data: input.equipment.map((row) => ({
        businessId,
        id: row.id,
        tankId: commandId,
        slotId: row.id,
        equipmentClass: row.equipmentClass,
        ...deviceColumns(row, takenOverOn),
      })),
    })
    await recomputeDue(
      tx,
      businessId,
      input.equipment.map((row) => row.id),
    )
    await audit('tank', commandId, 'add', undefined, { ...tank, equipment: input.equipment.length })
    return done({ tankId: commandId })
  },
)

/** Changes what is written about a tank. To another client it goes by being handed over. */
export const editTank = defineCommand(
  { kind: 'tank.edit', may: 'register.change', schema: editTankSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const before = await findOwnTank(context, input.tankId)
    if (!before) return notThere('tank')
    const future = inTheFuture({ takenOverOn: input.takenOverOn }, await todayOf(context))
    if (future) return future
    if (input.siteId !== before.siteId) {
      const site = await findSite(context, input.siteId)
      if (!site) return invalid({ siteId: ['This site is not in the register any more, or is archived.'] })
      if (site.clientId !== before.clientId)
        return invalid({ siteId: ['This site is another client’s. Hand the tank over instead.'] })
    }
    // A figure left as it was shown keeps what is stored: hundredths of a gallon would move it.
    const shown = (volumeL: number) => String(volumeIn(input.volumeUnit, volumeL))
    const { volumeL, grossVolumeL } = before
    const unmoved = {
      ...(input.volume === shown(volumeL.toNumber()) ? { volumeL } : {}),
      ...(grossVolumeL !== null && input.grossVolume === shown(grossVolumeL.toNumber()) ? { grossVolumeL } : {}),
    }
    const after = await tx.tank.update({
      where: { businessId_id: { businessId, id: input.tankId } },
      data: { ...columnsOf(input), ...unmoved },
    })
    const tankPrivate = await tx.tankPrivate.upsert({
      where: { businessId_tankId: { businessId, tankId: input.tankId } },
      create: { businessId, id: commandId, tankId: input.tankId, ...privateColumnsOf(input) },
      update: privateColumnsOf(input),
    })
    await audit('tank', input.tankId, 'edit', before, { ...after, tankPrivate })
    return done({ tankId: input.tankId })
  },
)

/** Puts a tank away. Refused, with a list, while visits are booked, an agreement runs or follow-ups are open. */
export const archiveTank = defineCommand(
  { kind: 'tank.archive', may: 'register.change', schema: oneRowSchema },
  async (context, input) => {
    const { tx, actor, madeAt, audit } = context
    const before = await findOwnTank(context, input.id)
    if (!before) return notThere('tank')
    if (before.archivedAt) return refused('already-so', `${before.name} is already archived.`)
    const hindrances = await tankHindrances(context, input.id)
    if (hindrances.length > 0)
      return refused('in-use', `${before.name} cannot be archived yet: ${hindrances.join('; ')}.`)
    const where = { businessId_id: { businessId: actor.businessId, id: input.id } }
    await tx.tank.update({ where, data: { archivedAt: madeAt } })
    await audit('tank', input.id, 'archive', { archivedAt: null }, { archivedAt: madeAt })
    return done({ tankId: input.id })
  },
)

/** Takes a tank out of the archive; its site must not be in it. */
export const restoreTank = defineCommand(
  { kind: 'tank.restore', may: 'register.change', schema: oneRowSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const before = await findOwnTank(context, input.id)
    if (!before) return notThere('tank')
    if (!before.archivedAt) return refused('already-so', `${before.name} is not archived.`)
    if (!(await findSite(context, before.siteId)))
      return refused('in-use', 'Take the site and its client out of the archive first.')
    const where = { businessId_id: { businessId: actor.businessId, id: input.id } }
    await tx.tank.update({ where, data: { archivedAt: null } })
    await audit('tank', input.id, 'restore', { archivedAt: before.archivedAt }, { archivedAt: null })
    return done({ tankId: input.id })
  },
)

async function tankHindrances(context: CommandContext, tankId: string): Promise<string[]> {
  const { tx, actor } = context
  const { businessId } = actor
  const visits = await bookedVisits(tx, businessId, { tankId: { in: [tankId] } })
  const today = asDbDate(await todayOf(context))
  const agreement = await tx.agreement.findFirst({
    where: { businessId, tankId, OR: [{ endsOn: null }, { endsOn: { gte: today } }] },
  })
  const followUps = await tx.followUp.findMany({
    where: { businessId, tankId, doneAt: null },
    select: { what: true },
    orderBy: [{ dueOn: 'asc' }, { id: 'asc' }],
  })
  return [
    ...(visits.length > 0 ? [`booked visits: ${nameSome(visits)}`] : []),
    ...(agreement
      ? [agreement.endsOn ? `its agreement runs until ${asDay(agreement.endsOn)}` : 'its agreement is still running']
      : []),
    ...(followUps.length > 0 ? [`open follow-ups: ${nameSome(followUps.map((row) => row.what))}`] : []),
  ]
}

function takeOverProblem(input: AddTankInput, today: string) {
  const future = inTheFuture({ takenOverOn: input.takenOverOn }, today)
  if (future) return future
  const fields: Record<string, string[]> = {}
  input.equipment.forEach((row, index) => {
    if (findClass(row.equipmentClass) === null)
      fields[`equipment.${index}.equipmentClass`] = ['Choose the kind of equipment from the list.']
    if (installedDay(row) > today) fields[`equipment.${index}.installedOn`] = ['This day is still to come.']
  })
  return Object.keys(fields).length > 0 ? invalid(fields) : null
}

/** A tank of this business that was not merged into another. */
function findOwnTank({ tx, actor }: CommandContext, tankId: string) {
  return tx.tank.findFirst({
    where: { businessId: actor.businessId, id: tankId, mergedIntoId: null },
    include: { tankPrivate: true },
  })
}

/** A site in use whose client is in use. */
function findSite({ tx, actor }: CommandContext, siteId: string) {
  const inUse = { archivedAt: null, mergedIntoId: null }
  return tx.site.findFirst({
    where: { businessId: actor.businessId, id: siteId, ...inUse, client: inUse },
    select: { clientId: true },
  })
}

function columnsOf(fields: TankFields) {
  const volumeL = readVolumeL(fields.volume, fields.volumeUnit)
  if (volumeL === null) throw new RangeError(`the volume was not checked before: ${fields.volume}`)
  return {
    siteId: fields.siteId,
    name: fields.name,
    profile: fields.profile,
    volumeL,
    grossVolumeL: fields.grossVolume === '' ? null : readVolumeL(fields.grossVolume, fields.volumeUnit),
    levelMarkDisplayMm: fields.levelMarkDisplayMm === '' ? null : readFigure(fields.levelMarkDisplayMm),
    levelMarkSumpMm: fields.levelMarkSumpMm === '' ? null : readFigure(fields.levelMarkSumpMm),
    hasStringyRefugium: fields.hasStringyRefugium,
    hasFineSand: fields.hasFineSand,
    isHeavilyStocked: fields.isHeavilyStocked,
    hasFurryPets: fields.hasFurryPets,
    hasHardTapWater: fields.hasHardTapWater,
    isNearKitchenOrSmoke: fields.isNearKitchenOrSmoke,
    dangerousAnimals: fields.dangerousAnimals,
    takenOverOn: fields.takenOverOn === '' ? null : asDbDate(fields.takenOverOn),
  }
}

function privateColumnsOf(fields: TankFields) {
  return {
    isolator: fields.isolator,
    shutOffs: fields.shutOffs,
    faultsAtTakeover: fields.faultsAtTakeover,
    note: fields.note,
  }
}
