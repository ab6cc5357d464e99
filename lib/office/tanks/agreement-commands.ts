import 'server-only'
import { notThere } from '../clients/register-command'
import { type CommandContext, defineCommand } from '../frame/command'
import { addDays, asDay, asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { recomputeDueAtTanks } from '../lanes/commands'
import { amountTextToMinor } from '../money/currency'
import { type AgreementInput, agreementSchema, endAgreementSchema } from './schema'

/** The first agreement of a tank, or one after a gap. The agreement's id is the command's. */
export const addAgreement = defineCommand(
  { kind: 'agreement.add', may: 'register.change', schema: agreementSchema },
  async (context, input) => {
    const running = await agreementsFrom(context, input.tankId, input.startsOn)
    const current = running[0]
    if (current)
      return refused(
        'in-use',
        `The agreement of ${asDay(current.startsOn)} is still running then. Change it instead of adding one.`,
      )
    return startAgreement(context, input)
  },
)

/** Ends the running agreement the day before and starts a new one; what was agreed then stays written down. */
export const changeAgreement = defineCommand(
  { kind: 'agreement.change', may: 'register.change', schema: agreementSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const running = await agreementsFrom(context, input.tankId, input.startsOn)
    const later = running.find((agreement) => asDay(agreement.startsOn) > input.startsOn)
    if (later) return invalid({ startsOn: [`An agreement already starts on ${asDay(later.startsOn)}.`] })
    for (const before of running) {
      const endsOn = asDbDate(addDays(input.startsOn, -1))
      await tx.agreement.update({
        where: { businessId_id: { businessId: actor.businessId, id: before.id } },
        data: { endsOn },
      })
      await audit('agreement', before.id, 'end', { endsOn: before.endsOn }, { endsOn })
    }
    return startAgreement(context, input)
  },
)

/** Ends an agreement on a day, today or later; nothing takes its place. */
export const endAgreement = defineCommand(
  { kind: 'agreement.end', may: 'register.change', schema: endAgreementSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const where = { businessId_id: { businessId: actor.businessId, id: input.agreementId } }
    const before = await tx.agreement.findUnique({ where })
    if (!before) return notThere('agreement')
    if (before.endsOn !== null && asDay(before.endsOn) <= input.endsOn)
      return refused('already-so', `This agreement already ends on ${asDay(before.endsOn)}.`)
    if (input.endsOn < addDays(asDay(before.startsOn), -1))
      return invalid({ endsOn: [`The agreement starts on ${asDay(before.startsOn)}.`] })
    await tx.agreement.update({ where, data: { endsOn: asDbDate(input.endsOn) } })
    await recomputeDueAtTanks(tx, actor.businessId, [before.tankId])
    await audit('agreement', before.id, 'end', { endsOn: before.endsOn }, { endsOn: input.endsOn })
    return done({ agreementId: before.id, tankId: before.tankId })
  },
)

/** Agreements of a tank that reach the day or start later; the tank's row is locked, so that two changes wait for each other. */
async function agreementsFrom({ tx, actor }: CommandContext, tankId: string, day: string) {
  await tx.$queryRaw`SELECT id FROM tank WHERE business_id = ${actor.businessId}::uuid AND id = ${tankId}::uuid FOR UPDATE`
  const onDay = asDbDate(day)
  const agreements = await tx.agreement.findMany({
    where: { businessId: actor.businessId, tankId, OR: [{ endsOn: null }, { endsOn: { gte: onDay } }] },
    orderBy: [{ startsOn: 'asc' }, { id: 'asc' }],
  })
  // One that was changed before it began ends before it starts, and never ran.
  return agreements.filter((agreement) => agreement.endsOn === null || agreement.endsOn >= agreement.startsOn)
}

async function startAgreement({ tx, actor, commandId, audit }: CommandContext, input: AgreementInput) {
  const { businessId } = actor
  const tank = await tx.tank.findFirst({ where: { businessId, id: input.tankId, mergedIntoId: null } })
  if (!tank) return notThere('tank')
  const monthlyFeeMinor = amountTextToMinor(input.monthlyFee, input.currency)
  const business = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { currency: true } })
  if (monthlyFeeMinor === null || business.currency !== input.currency)
    return invalid({ monthlyFee: [`Give the fee in ${business.currency}.`] })
  if (input.preferredPersonId !== '') {
    const person = await tx.person.findFirst({
      where: { businessId, id: input.preferredPersonId, isTechnician: true, archivedAt: null },
    })
    if (!person) return invalid({ preferredPersonId: ['This technician does not work here any more.'] })
  }
  const agreement = await tx.agreement.create({
    data: {
      businessId,
      id: commandId,
      clientId: tank.clientId,
      tankId: tank.id,
      everyDays: Number(input.every) * (input.everyUnit === 'weeks' ? 7 : 1),
      anchorOn: asDbDate(input.anchorOn),
      visitMinutes: Number(input.visitMinutes),
      monthlyFeeMinor,
      includes: input.includes,
      preferredPersonId: input.preferredPersonId === '' ? null : input.preferredPersonId,
      purchaseOrder: input.purchaseOrder,
      billNoAccess: input.billNoAccess ?? false,
      startsOn: asDbDate(input.startsOn),
    },
  })
  await recomputeDueAtTanks(tx, businessId, [tank.id])
  await audit('agreement', commandId, 'add', undefined, agreement)
  return done({ agreementId: commandId, tankId: tank.id })
}
