import 'server-only'
import { newId } from '@/lib/new-id'
import type { CommandContext } from '../frame/command'
import { groupBy } from '../frame/group-by'
import { shareNet } from './split-minor'

type EditedLine = { id: string; quantity: string }

/**
 * After a draft was edited: a line that stands settles what it settled, whatever price was written on it; one of several months whose
 * quantity became fewer keeps the first ones and sets the others free; a line written by hand is a charge of its own, due as written.
 */
export async function rewriteCharges(
  { tx, actor }: CommandContext,
  invoiceId: string,
  edited: readonly EditedLine[],
): Promise<void> {
  const { businessId } = actor
  const lines = await tx.invoiceLine.findMany({
    where: { businessId, invoiceId },
    select: { id: true, clientId: true, netMinor: true },
  })
  const rows = await tx.chargeLine.findMany({
    where: { businessId, line: { invoiceId } },
    orderBy: [{ period: 'asc' }, { id: 'asc' }],
  })
  const byLine = groupBy(rows, (row) => row.lineId)
  const quantities = new Map(edited.map(({ id, quantity }) => [id, Number(quantity)]))
  await tx.chargeLine.deleteMany({ where: { businessId, line: { invoiceId } } })
  await tx.chargeLine.createMany({
    data: lines.flatMap(({ id, clientId, netMinor }) => {
      const own = byLine.get(id) ?? []
      const [first] = own
      if (!first || (first.kind === 'hand' && first.subjectId === id)) {
        const hand = { kind: 'hand', subjectId: id, period: '', facts: '', netMinor }
        const due = { dueMinor: netMinor, settlesMinor: netMinor }
        return [{ businessId, id: newId(), clientId, lineId: id, ...hand, ...due }]
      }
      const months = quantities.get(id) ?? own.length
      const isFewer = first.kind === 'agreement_month' && Number.isInteger(months) && months >= 1 && months < own.length
      return shareNet(netMinor, isFewer ? own.slice(0, months) : own)
    }),
  })
}
