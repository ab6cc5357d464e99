import 'server-only'
import { newId } from '@/lib/new-id'
import type { CommandContext } from '../frame/command'
import { asDbDate, SINCE_ALWAYS } from '../frame/days'

type Paying = { clientId: string; payerClientId: string | null }

/**
 * Writes down who pays for a site from a day on; what was done before stays with who paid then. A site of which nothing is written yet
 * has had its payer always, and that is written down first.
 */
export async function writePayer(
  { tx, actor, madeAt }: CommandContext,
  siteId: string,
  before: Paying | null,
  after: Paying,
  since: string,
): Promise<void> {
  const { businessId } = actor
  const payerOf = ({ clientId, payerClientId }: Paying) => ({ clientId, payerClientId: payerClientId ?? clientId })
  const row = (paying: Paying, from: string, at: Date) => ({
    ...{ businessId, id: newId(), siteId, since: asDbDate(from), madeAt: at },
    ...payerOf(paying),
  })
  const written = await tx.sitePayer.findFirst({
    where: { businessId, siteId },
    orderBy: [{ madeAt: 'desc' }, { id: 'desc' }],
    select: { madeAt: true },
  })
  if (before && !written) await tx.sitePayer.create({ data: row(before, SINCE_ALWAYS, new Date(madeAt.getTime() - 1)) })
  // Of two decisions the later one holds, also where a clock was put back between them.
  const at = written && written.madeAt >= madeAt ? new Date(written.madeAt.getTime() + 1) : madeAt
  await tx.sitePayer.create({ data: row(after, since, at) })
}
