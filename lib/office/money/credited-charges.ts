import 'server-only'
import { newId } from '@/lib/new-id'
import type { CommandContext } from '../frame/command'
import { groupBy } from '../frame/group-by'
import { CHARGE_KINDS, type ChargeKey, chargeText } from './charge'
import { creditedParts } from './credit-lines'

/**
 * What a credit note takes back of the charges behind its lines, written as it is issued: until then nothing is open again. The invoice's
 * row is locked, so that two credit notes of one invoice come one after the other.
 */
export async function writeCreditedCharges({ tx, actor }: CommandContext, noteId: string): Promise<void> {
  const { businessId } = actor
  await tx.$queryRaw`SELECT invoice.id FROM invoice JOIN invoice note ON note.business_id = invoice.business_id AND note.corrects_invoice_id = invoice.id
    WHERE note.business_id = ${businessId}::uuid AND note.id = ${noteId}::uuid FOR UPDATE OF invoice`
  const lines = await tx.invoiceLine.findMany({
    where: { businessId, invoiceId: noteId, creditsLineId: { not: null } },
    include: { creditsLine: { include: { chargeLines: true, creditedBy: { include: { chargeLines: true } } } } },
    orderBy: { position: 'asc' },
  })
  const rows = lines.flatMap((line) => {
    const billed = (line.creditsLine?.chargeLines ?? []).map((row) => ({ ...partOf(row) }))
    const earlier = (line.creditsLine?.creditedBy ?? []).flatMap(({ chargeLines }) => chargeLines)
    const taken = new Map(
      [...groupBy(earlier, (row) => chargeText(partOf(row)))].map(([key, group]) => [
        key,
        group.reduce((sum, { netMinor }) => sum + Math.abs(netMinor), 0),
      ]),
    )
    const effect = line.creditEffect === 'reopen' ? ('reopen' as const) : ('waive' as const)
    const credit = { netMinor: line.netMinor, effect }
    return creditedParts(billed, taken, credit, chargeText).map((part) => ({
      ...part,
      businessId,
      id: newId(),
      lineId: line.id,
      // Whoever was billed is credited, also where the note goes to whom they were merged into.
      clientId: line.creditsLine?.clientId ?? line.clientId,
    }))
  })
  await tx.chargeLine.createMany({ data: rows })
}

type Row = Omit<ChargeKey, 'kind'> & {
  kind: string
  netMinor: number
  settlesMinor: number
  dueMinor: number
  facts: string
}

function partOf({ kind, subjectId, period, netMinor, settlesMinor, dueMinor, facts }: Row) {
  const known = CHARGE_KINDS.find((one) => one === kind)
  if (!known) throw new RangeError(`not a kind of charge: "${kind}"`)
  return { kind: known, subjectId, period, netMinor, settlesMinor, dueMinor, facts }
}
