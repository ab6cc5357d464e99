import 'server-only'
import { newId } from '@/lib/new-id'
import { type CommandContext, defineCommand } from '../frame/command'
import { done, refused } from '../frame/result'
import { clientFamily } from './hindrances'
import { notThere } from './register-command'
import { type MergeInput, mergeSchema } from './schema'

/**
 * Makes two clients one. What stands in the register or lies ahead (sites, tanks, running agreements, booked visits, open
 * follow-ups, drafts of invoices, logins) goes to the survivor; what happened stays under the id it was written with and
 * is found through the survivor's family.
 */
export const mergeClients = defineCommand(
  { kind: 'client.merge', may: 'register.change', schema: mergeSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const pair = await tx.client.findMany({
      where: { businessId: actor.businessId, id: { in: [input.survivorId, input.duplicateId] }, mergedIntoId: null },
    })
    const survivor = pair.find((client) => client.id === input.survivorId)
    const duplicate = pair.find((client) => client.id === input.duplicateId)
    if (!survivor || !duplicate) return notThere('client')
    if (survivor.archivedAt && !duplicate.archivedAt)
      return refused('does-not-fit', `${survivor.name} is archived. Keep the other entry, or restore this one first.`)
    const moved = await moveToClient(context, input)
    const family = await clientFamily(tx, actor.businessId, duplicate.id)
    await tx.client.updateMany({
      where: { businessId: actor.businessId, id: { in: family } },
      data: { mergedIntoId: survivor.id },
    })
    await audit('client', duplicate.id, 'merge', duplicate, { mergedIntoId: survivor.id, family, moved })
    return done({ survivorId: survivor.id, moved })
  },
)

async function moveToClient({ tx, actor, madeAt }: CommandContext, { survivorId, duplicateId }: MergeInput) {
  const ofDuplicate = { businessId: actor.businessId, clientId: duplicateId }
  const toSurvivor = { data: { clientId: survivorId } }
  await giveTanks({ tx, actor }, survivorId, duplicateId)
  const sites = await tx.site.updateMany({ where: ofDuplicate, ...toSurvivor })
  await tx.site.updateMany({
    where: { businessId: actor.businessId, payerClientId: duplicateId },
    data: { payerClientId: survivorId },
  })
  // A site that now pays for itself has no other payer.
  await tx.site.updateMany({
    where: { businessId: actor.businessId, clientId: survivorId, payerClientId: survivorId },
    data: { payerClientId: null },
  })
  const tanks = await tx.tank.updateMany({ where: ofDuplicate, ...toSurvivor })
  const running = { OR: [{ endsOn: null }, { endsOn: { gte: madeAt } }] }
  await tx.agreement.updateMany({ where: { ...ofDuplicate, ...running }, ...toSurvivor })
  await tx.visit.updateMany({ where: { ...ofDuplicate, state: 'booked' }, ...toSurvivor })
  await tx.followUp.updateMany({ where: { ...ofDuplicate, doneAt: null }, ...toSurvivor })
  await tx.membership.updateMany({ where: ofDuplicate, ...toSurvivor })
  const drafts = { ...ofDuplicate, state: 'draft' }
  await tx.invoiceLine.updateMany({ where: { ...ofDuplicate, invoice: { state: 'draft' } }, ...toSurvivor })
  await tx.invoice.updateMany({ where: drafts, ...toSurvivor })
  return sites.count + tanks.count
}

/** The survivor becomes the holder of every tank the duplicate holds, so that visits can be booked under its name. */
async function giveTanks({ tx, actor }: Pick<CommandContext, 'tx' | 'actor'>, survivorId: string, duplicateId: string) {
  const held = await tx.tankClient.findMany({ where: { businessId: actor.businessId, clientId: duplicateId } })
  await tx.tankClient.createMany({
    data: held.map(({ tankId, since, until }) => ({
      businessId: actor.businessId,
      id: newId(),
      clientId: survivorId,
      tankId,
      since,
      until,
    })),
    skipDuplicates: true,
  })
  const stillHeld = held.filter((row) => row.until === null).map((row) => row.tankId)
  await tx.tankClient.updateMany({
    where: { businessId: actor.businessId, clientId: survivorId, tankId: { in: stillHeld } },
    data: { until: null },
  })
}

/** Makes two sites of one client one: tanks, contacts and booked visits go to the survivor; past visits keep their site. */
export const mergeSites = defineCommand(
  { kind: 'site.merge', may: 'register.change', schema: mergeSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const pair = await tx.site.findMany({
      where: { businessId: actor.businessId, id: { in: [input.survivorId, input.duplicateId] }, mergedIntoId: null },
      include: { sitePrivate: true, siteContacts: true },
    })
    const survivor = pair.find((site) => site.id === input.survivorId)
    const duplicate = pair.find((site) => site.id === input.duplicateId)
    if (!survivor || !duplicate) return notThere('site')
    if (survivor.clientId !== duplicate.clientId)
      return refused('does-not-fit', 'These sites belong to two clients. Merge the clients first, if they are one.')
    if (survivor.archivedAt && !duplicate.archivedAt)
      return refused('does-not-fit', `${survivor.name} is archived. Keep the other entry, or restore this one first.`)
    const ofDuplicate = { businessId: actor.businessId, siteId: duplicate.id }
    const toSurvivor = { data: { siteId: survivor.id } }
    const tanks = await tx.tank.updateMany({ where: ofDuplicate, ...toSurvivor })
    await tx.siteContact.updateMany({ where: ofDuplicate, ...toSurvivor })
    await tx.visit.updateMany({ where: { ...ofDuplicate, state: 'booked' }, ...toSurvivor })
    await keepAccessNotes(context, survivor.id, [survivor.sitePrivate?.accessNote, duplicate.sitePrivate?.accessNote])
    await tx.site.updateMany({
      where: { businessId: actor.businessId, OR: [{ id: duplicate.id }, { mergedIntoId: duplicate.id }] },
      data: { mergedIntoId: survivor.id },
    })
    await audit('site', duplicate.id, 'merge', duplicate, { mergedIntoId: survivor.id, moved: tanks.count })
    return done({ survivorId: survivor.id, moved: tanks.count })
  },
)

/** How to get in is never lost: both notes stand in the survivor. */
async function keepAccessNotes(
  { tx, actor, commandId }: CommandContext,
  siteId: string,
  notes: (string | undefined)[],
) {
  const accessNote = [...new Set(notes.map((note) => note?.trim() ?? '').filter((note) => note !== ''))].join('\n')
  await tx.sitePrivate.upsert({
    where: { businessId_siteId: { businessId: actor.businessId, siteId } },
    create: { businessId: actor.businessId, id: commandId, siteId, accessNote },
    update: { accessNote },
  })
}
