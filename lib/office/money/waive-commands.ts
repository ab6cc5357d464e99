import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { defineCommand } from '../frame/command'
import { done, refused } from '../frame/result'
import { type ChargeKey, chargeText } from './charge'
import { readWaivers } from './charge-rows'
import { lockBilling, MONEY } from './money-command'
import { monthRuleSchema, takeBackWaiverSchema, waiveChargeSchema } from './schema'

/** Never bills a visit, a part, a month or a line that a credit reopened: what is open of it now, and whatever a correction adds. */
export const waiveCharge = defineCommand(
  { ...MONEY, kind: 'charge.waive', schema: waiveChargeSchema },
  async (context, { kind, subjectId, period, reason }) => {
    const { tx, actor, commandId, madeAt, audit } = context
    const { businessId } = actor
    const key = { kind, subjectId, period }
    await lockBilling(context)
    if (!(await isThere(tx, businessId, key)))
      return refused('not-found', 'What you want to waive is not in the records any more. Reload the page.')
    const draft = await tx.chargeLine.findFirst({
      where: { businessId, ...key, line: { invoice: { state: 'draft' } } },
      select: { line: { select: { invoice: { select: { client: { select: { name: true } } } } } } },
    })
    if (draft)
      return refused(
        'on-a-draft',
        `It stands on a draft for ${draft.line.invoice.client.name}. Take it off there first, or discard the draft.`,
      )
    const standing = (await readWaivers(tx, businessId)).some((row) => chargeText(row) === chargeText(key))
    if (standing) return refused('already-so', 'It is never billed already.')
    await tx.chargeWaiver.create({ data: { businessId, id: commandId, ...key, reason, madeAt } })
    await audit('charge_waiver', commandId, 'waive', undefined, { ...key, reason })
    return done({ waiverId: commandId })
  },
)

/** Takes "never bill" back: what is open of it can be billed again. */
export const takeBackWaiver = defineCommand(
  { ...MONEY, kind: 'charge.take-back-waiver', schema: takeBackWaiverSchema },
  async (context, { waiverId }) => {
    const { tx, actor, commandId, madeAt, audit } = context
    const { businessId } = actor
    const waiver = await tx.chargeWaiver.findFirst({
      where: { businessId, id: waiverId, takesBackId: null },
      include: { takenBackBy: { select: { id: true } } },
    })
    if (!waiver) return refused('not-found', 'This decision is not in the books any more. Reload the page.')
    if (waiver.takenBackBy) return refused('already-so', 'This decision was taken back already.')
    const { kind, subjectId, period, reason } = waiver
    const back = { businessId, id: commandId, kind, subjectId, period, reason: '', takesBackId: waiver.id, madeAt }
    await tx.chargeWaiver.create({ data: back })
    await audit('charge_waiver', waiver.id, 'take-back', { kind, subjectId, period, reason }, undefined)
    return done({ waiverId })
  },
)

/** How months count from now on that an agreement covers in part, or whose fee changes within them. What is billed keeps its rule. */
export const chooseMonthRule = defineCommand(
  { ...MONEY, kind: 'money.month-rule', schema: monthRuleSchema },
  async ({ tx, actor, audit }, { rule }) => {
    const where = { id: actor.businessId }
    const before = await tx.business.findUniqueOrThrow({ where, select: { partMonths: true } })
    await tx.business.update({ where, data: { partMonths: rule } })
    await audit('business', actor.businessId, 'month-rule', before, { partMonths: rule })
    return done({ rule })
  },
)

async function isThere(tx: Transaction, businessId: string, { kind, subjectId }: ChargeKey): Promise<boolean> {
  const where = { businessId, id: subjectId }
  switch (kind) {
    case 'agreement_month':
      return (await tx.tank.count({ where })) > 0
    case 'visit':
      return (await tx.visit.count({ where })) > 0
    case 'part':
      return (await tx.partUsed.count({ where: { ...where, correctsId: null } })) > 0
    case 'hand':
      return (await tx.invoiceLine.count({ where })) > 0
  }
}
