import 'server-only'
import { bookedVisits, nameSome } from '../clients/hindrances'
import { notThere } from '../clients/register-command'
import { writePayer } from '../clients/site-payers'
import { todayOf } from '../frame/business-day'
import { type CommandContext, defineCommand } from '../frame/command'
import { addDays, asDay, asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { recomputeDueAtTanks } from '../lanes/commands'
import { inTheFuture } from './device-columns'
import { type HandOverTankInput, handOverTankSchema } from './schema'

/**
 * The tank changes hands on a day: all that happened until then stays the old client's and is not shown to the new one.
 * The old agreement ends the day before. Refused while visits are booked for the old client from that day on, or if one
 * was made for it after that day.
 */
export const handOverTank = defineCommand(
  { kind: 'tank.hand-over', may: 'register.change', schema: handOverTankSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const tank = await tx.tank.findFirst({ where: { businessId, id: input.tankId, mergedIntoId: null } })
    if (!tank) return notThere('tank')
    const problem = await handOverProblem(context, tank, input)
    if (problem) return problem
    const on = asDbDate(input.on)
    await tx.tankClient.updateMany({
      where: { businessId, tankId: tank.id, clientId: tank.clientId },
      data: { until: on },
    })
    // A tank that comes back to a former client continues that client's row: there is one per client and tank.
    await tx.tankClient.upsert({
      where: { businessId_clientId_tankId: { businessId, clientId: input.clientId, tankId: tank.id } },
      create: { businessId, id: commandId, clientId: input.clientId, tankId: tank.id, since: on },
      update: { until: null },
    })
    await tx.agreement.updateMany({
      where: { businessId, tankId: tank.id, OR: [{ endsOn: null }, { endsOn: { gte: on } }] },
      data: { endsOn: asDbDate(addDays(input.on, -1)) },
    })
    const siteId = input.siteId === '' ? tank.siteId : input.siteId
    const where = { businessId_id: { businessId, id: tank.id } }
    await tx.tank.update({ where, data: { clientId: input.clientId, siteId } })
    await recomputeDueAtTanks(tx, businessId, [tank.id])
    await giveSite(context, siteId, input.clientId, input.on)
    const before = { clientId: tank.clientId, siteId: tank.siteId }
    await audit('tank', tank.id, 'hand-over', before, { clientId: input.clientId, siteId, on: input.on })
    return done({ tankId: tank.id })
  },
)

type HeldTank = { id: string; name: string; clientId: string }

async function handOverProblem(context: CommandContext, tank: HeldTank, input: HandOverTankInput) {
  const { tx, actor } = context
  const { businessId } = actor
  const inUse = { businessId, archivedAt: null, mergedIntoId: null }
  const future = inTheFuture({ on: input.on }, await todayOf(context))
  if (future) return future
  if (tank.clientId === input.clientId) return invalid({ clientId: ['This client already has the tank.'] })
  const client = await tx.client.findFirst({ where: { ...inUse, id: input.clientId } })
  if (!client) return invalid({ clientId: ['This client is not in the register any more, or is archived.'] })
  if (input.siteId !== '') {
    const site = await tx.site.findFirst({ where: { ...inUse, id: input.siteId, clientId: input.clientId } })
    if (!site) return invalid({ siteId: [`This is not a site of ${client.name}.`] })
  }
  const held = await tx.tankClient.findUnique({
    where: { businessId_clientId_tankId: { businessId, clientId: tank.clientId, tankId: tank.id } },
  })
  if (held && input.on <= asDay(held.since))
    return invalid({ on: [`The old client has it since ${asDay(held.since)}.`] })
  const on = asDbDate(input.on)
  const booked = await bookedVisits(tx, businessId, { tankId: { in: [tank.id] }, localDate: { gte: on } })
  if (booked.length > 0)
    return refused('in-use', `Cancel the visits booked for the old client first: ${nameSome(booked)}.`)
  const made = await tx.visit.findFirst({
    where: { businessId, tankId: tank.id, clientId: tank.clientId, state: 'done', localDate: { gt: on } },
    orderBy: { localDate: 'desc' },
  })
  return made ? invalid({ on: [`The old client was visited on ${asDay(made.localDate)}, after this day.`] }) : null
}

/** A site goes with its last tank: while the old client has another one there, the site stays theirs. */
async function giveSite(context: CommandContext, siteId: string, clientId: string, on: string): Promise<void> {
  const { tx, actor, audit } = context
  const { businessId } = actor
  const where = { businessId_id: { businessId, id: siteId } }
  const site = await tx.site.findUniqueOrThrow({ where })
  const others = await tx.tank.count({ where: { businessId, siteId, clientId: site.clientId, mergedIntoId: null } })
  if (site.clientId === clientId || others > 0) return
  const after = { clientId, payerClientId: site.payerClientId === clientId ? null : site.payerClientId }
  await tx.site.update({ where, data: after })
  await writePayer(context, siteId, site, after, on)
  await audit('site', siteId, 'hand-over', { clientId: site.clientId }, { clientId })
}
