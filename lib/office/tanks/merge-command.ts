import 'server-only'
import { newId } from '@/lib/new-id'
import { notThere } from '../clients/register-command'
import { type MergeInput, mergeSchema } from '../clients/schema'
import { todayOf } from '../frame/business-day'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDbDate } from '../frame/days'
import { done, refused } from '../frame/result'
import { recomputeDueAtTanks } from '../lanes/commands'

/**
 * Makes two entries of one tank one. Slots, devices, booked visits and open follow-ups go to the survivor; what happened
 * stays under the id it was written with and is found through the survivor. Derived rows are made anew.
 */
export const mergeTanks = defineCommand(
  { kind: 'tank.merge', may: 'register.change', schema: mergeSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const { businessId } = actor
    const pair = await tx.tank.findMany({
      where: { businessId, id: { in: [input.survivorId, input.duplicateId] }, mergedIntoId: null },
      include: { tankPrivate: true },
    })
    const survivor = pair.find((tank) => tank.id === input.survivorId)
    const duplicate = pair.find((tank) => tank.id === input.duplicateId)
    if (!survivor || !duplicate) return notThere('tank')
    if (survivor.clientId !== duplicate.clientId)
      return refused('does-not-fit', 'These tanks belong to two clients. Merge the clients first, if they are one.')
    if (survivor.archivedAt && !duplicate.archivedAt)
      return refused('does-not-fit', `${survivor.name} is archived. Keep the other entry, or restore this one first.`)
    const moved = await moveDevices(context, input)
    await keepHolders(context, input)
    await joinAgreements(context, input)
    await moveRemedies(context, input)
    const ofDuplicate = { businessId, tankId: duplicate.id }
    const ahead = { data: { tankId: survivor.id, clientId: survivor.clientId } }
    await tx.visit.updateMany({ where: { ...ofDuplicate, state: 'booked' }, ...ahead })
    await tx.followUp.updateMany({ where: { ...ofDuplicate, doneAt: null }, ...ahead })
    await keepWords(context, survivor, duplicate)
    await recomputeDueAtTanks(tx, businessId, [survivor.id])
    await tx.tank.updateMany({
      where: { businessId, OR: [{ id: duplicate.id }, { mergedIntoId: duplicate.id }] },
      data: { mergedIntoId: survivor.id },
    })
    await audit('tank', duplicate.id, 'merge', duplicate, { mergedIntoId: survivor.id, moved })
    return done({ survivorId: survivor.id, moved })
  },
)

async function moveDevices({ tx, actor }: CommandContext, { survivorId, duplicateId }: MergeInput): Promise<number> {
  const where = { businessId: actor.businessId, tankId: duplicateId }
  const data = { tankId: survivorId }
  await tx.slot.updateMany({ where, data })
  const devices = await tx.equipment.updateMany({ where, data })
  await tx.reservoir.updateMany({ where, data })
  // Counts of a tank that is no more; the survivor's are made anew below.
  await tx.repeatFault.deleteMany({ where })
  return devices.count
}

/** What was decided against a fault of the duplicate is watched at the survivor: a further row of each says so. */
async function moveRemedies({ tx, actor, commandId }: CommandContext, { survivorId, duplicateId }: MergeInput) {
  const { businessId } = actor
  const decided = await tx.faultRemedy.findMany({
    where: { businessId, tankId: duplicateId, correctedBy: { is: null }, isTakenBack: false },
  })
  await tx.faultRemedy.createMany({
    data: decided.map(({ createdAt: _, ...row }) => ({
      ...row,
      ...{ id: newId(), tankId: survivorId, correctsId: row.id, commandId },
    })),
  })
}

/** Whoever held the duplicate also held the survivor, so that rows which go over keep a holder. */
async function keepHolders({ tx, actor }: CommandContext, { survivorId, duplicateId }: MergeInput): Promise<void> {
  const held = await tx.tankClient.findMany({ where: { businessId: actor.businessId, tankId: duplicateId } })
  await tx.tankClient.createMany({
    data: held.map(({ clientId, since, until }) => ({
      businessId: actor.businessId,
      id: newId(),
      tankId: survivorId,
      clientId,
      since,
      until,
    })),
    skipDuplicates: true,
  })
}

/** One tank has one agreement at a time: the survivor's, and only where it has none the duplicate's. */
async function joinAgreements(context: CommandContext, { survivorId, duplicateId }: MergeInput): Promise<void> {
  const { tx, actor } = context
  const today = asDbDate(await todayOf(context))
  const running = { businessId: actor.businessId, OR: [{ endsOn: null }, { endsOn: { gte: today } }] }
  const own = await tx.agreement.count({ where: { ...running, tankId: survivorId } })
  await tx.agreement.updateMany({
    where: { ...running, tankId: duplicateId },
    data: own > 0 ? { endsOn: today } : { tankId: survivorId },
  })
}

type Words = { isolator: string; shutOffs: string; faultsAtTakeover: string; note: string }
type WithWords = { id: string; dangerousAnimals: string; tankPrivate: Words | null }

/** What somebody wrote down for safety or for us is never lost: where the entries differ, both stand in the survivor. */
async function keepWords({ tx, actor, commandId }: CommandContext, survivor: WithWords, duplicate: WithWords) {
  const { businessId } = actor
  const both = (kept = '', other = '') =>
    other.trim() === '' || kept.includes(other.trim()) ? kept : [kept, other].filter((part) => part !== '').join('\n')
  const joined = (name: keyof Words) => both(survivor.tankPrivate?.[name], duplicate.tankPrivate?.[name])
  const words = {
    isolator: joined('isolator'),
    shutOffs: joined('shutOffs'),
    faultsAtTakeover: joined('faultsAtTakeover'),
    note: joined('note'),
  }
  await tx.tankPrivate.upsert({
    where: { businessId_tankId: { businessId, tankId: survivor.id } },
    create: { businessId, id: commandId, tankId: survivor.id, ...words },
    update: words,
  })
  await tx.tank.update({
    where: { businessId_id: { businessId, id: survivor.id } },
    data: { dangerousAnimals: both(survivor.dangerousAnimals, duplicate.dangerousAnimals) },
  })
}
