import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { groupBy } from '../frame/group-by'
import { chargeText } from './charge'
import { dateInWords } from './dates-in-words'
import { chargeInWords } from './draft-changes'
import type { ToBill } from './draft-pieces'
import { monthOf } from './months'
import { readCharges } from './read-charges'

/** Whose charges: a payer's, or a tank's. */
export type ChargesOf = { clientId: string } | { tankId: string }

/** What is billed, open and waived, tank by tank, and why; null where there is no such client or tank. */
export function chargesPage(actor: Actor, of: ChargesOf) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const whose =
      'clientId' in of ? await payerOf(tx, businessId, of.clientId) : await tankOf(tx, businessId, of.tankId)
    if (!whose) return null
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const { currency, locale, timeZone } = business
    const through = monthOf(dayIn(timeZone, new Date()))
    const clientIds = [...(whose.payerIds ?? [])]
    const work = await readCharges(tx, businessId, { through, tankIds: whose.tankIds, clientIds, business })
    const waiverIds = new Map(work.waivers.map((row) => [chargeText(row), row.id]))
    const rows = work.items.flatMap((item) => rowsOf(item, whose.payerIds, waiverIds))
    const byTank = groupBy(rows, ({ tankId }) => tankId)
    const billed = await billedByTank(tx, businessId, whose, clientIds)
    const tanks = await tx.tank.findMany({
      where: { businessId, id: { in: [...byTank.keys(), ...billed.keys()].filter((id) => id !== NO_TANK) } },
      select: { id: true, name: true, site: { select: { name: true } } },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const places = tanks.map(({ id, name, site }) => ({
      ...{ tankId: id, name: name === site.name ? name : `${name}, ${site.name}` },
      billedMinor: billed.get(id) ?? 0,
      rows: byTank.get(id) ?? [],
    }))
    const ofNoTank = byTank.get(NO_TANK) ?? []
    const byHandMinor = billed.get(NO_TANK) ?? 0
    if (ofNoTank.length > 0 || byHandMinor !== 0)
      places.push({ tankId: NO_TANK, name: 'Written by hand, for no tank', billedMinor: byHandMinor, rows: ofNoTank })
    return { businessId, title: whose.name, currency, locale, places }
  })
}

/** Where what was written by hand stands. */
const NO_TANK = ''

type Whose = { name: string; tankIds: string[] /** Null for all payers. */; payerIds: ReadonlySet<string> | null }

/** Tanks that a client has or had, and those at sites it pays or paid for. */
async function payerOf(tx: Transaction, businessId: string, clientId: string): Promise<Whose | null> {
  const found = await tx.client.findMany({
    where: { businessId, OR: [{ id: clientId, mergedIntoId: null }, { mergedIntoId: clientId }] },
    select: { id: true, name: true },
  })
  const client = found.find(({ id }) => id === clientId)
  if (!client) return null
  const family = found.map(({ id }) => id)
  const tanks = await tx.tank.findMany({
    where: {
      businessId,
      OR: [
        { tankClients: { some: { clientId: { in: family } } } },
        { site: { payerClientId: { in: family } } },
        { site: { sitePayers: { some: { payerClientId: { in: family } } } } },
      ],
    },
    select: { id: true },
  })
  return { name: client.name, tankIds: tanks.map(({ id }) => id), payerIds: new Set(family) }
}

async function tankOf(tx: Transaction, businessId: string, tankId: string): Promise<Whose | null> {
  const tank = await tx.tank.findFirst({ where: { businessId, id: tankId, mergedIntoId: null } })
  return tank && { name: tank.name, tankIds: [tank.id], payerIds: null }
}

/**
 * Net of issued invoices less issued credit notes, by the tank that the line names, merged tanks under the one they became; and of lines of
 * these clients that name no tank.
 */
async function billedByTank(
  tx: Transaction,
  businessId: string,
  { tankIds, payerIds }: Whose,
  clientIds: readonly string[],
) {
  const rows = await tx.$queryRaw<{ tank_id: string | null; net_minor: number }[]>`
    SELECT COALESCE(tank.merged_into_id, tank.id) AS tank_id,
      sum(CASE whole.document_type WHEN 'credit_note' THEN -1 ELSE 1 END * line.net_minor)::float8 AS net_minor
    FROM invoice_line line JOIN invoice whole ON whole.business_id = line.business_id AND whole.id = line.invoice_id
    LEFT JOIN tank ON tank.business_id = line.business_id AND tank.id = line.tank_id
    WHERE line.business_id = ${businessId}::uuid AND whole.state = 'issued' AND (
      (line.tank_id = ANY (${tankIds}::uuid[]) AND tank.id IS NOT NULL AND (${payerIds === null} OR line.client_id = ANY (${[...clientIds]}::uuid[])))
      OR (line.tank_id IS NULL AND line.client_id = ANY (${[...clientIds]}::uuid[])))
    GROUP BY 1`
  return new Map(rows.map((row) => [row.tank_id ?? NO_TANK, row.net_minor]))
}

function rowsOf(item: ToBill, payerIds: Whose['payerIds'], waiverIds: ReadonlyMap<string, string>) {
  const { standing } = item
  const payers = standing.payers.filter(({ payerId }) => payerIds === null || payerIds.has(payerId))
  const sum = (of: 'openMinor' | 'overMinor') => payers.reduce((all, payer) => all + payer[of], 0)
  const [openMinor, overMinor] = [sum('openMinor'), sum('overMinor')]
  const waivedMinor = payers.length > 0 ? standing.waivedMinor : 0
  const isUnpriced = standing.charge.shares === null && standing.isFresh
  if (openMinor === 0 && overMinor === 0 && standing.waived === null && !isUnpriced) return []
  if (payers.length === 0 && !(isUnpriced && ofPayer(item, payerIds))) return []
  const { kind, subjectId, period } = standing.charge
  const id = chargeText(standing.charge)
  const key = { kind, subjectId, period }
  const waiverId = waiverIds.get(id) ?? null
  return [
    {
      id,
      key,
      tankId: tankIdOf(item),
      what: chargeInWords(item),
      openMinor,
      overMinor,
      waivedMinor,
      waiverId,
      why: whyOf(item),
    },
  ]
}

const ofPayer = (item: ToBill, payerIds: Whose['payerIds']) =>
  payerIds === null ||
  (item.of === 'visit' && payerIds.has(item.visit.payerId)) ||
  (item.of === 'part' && payerIds.has(item.part.payerId))

function tankIdOf(item: ToBill): string {
  switch (item.of) {
    case 'month':
      return item.month.subjectId
    case 'visit':
      return item.visit.tankId ?? ''
    case 'part':
      return item.part.tankId ?? ''
    case 'hand':
      return item.line.tankId ?? NO_TANK
  }
}

/** Why a charge stands as it does, in a sentence. */
function whyOf(item: ToBill): string {
  const { standing } = item
  if (standing.waived !== null) return `Never billed: ${standing.waived}`
  if (standing.draftId !== null) return 'On a draft whose records have changed since.'
  if (standing.charge.shares === null) return 'The price list has no price for it.'
  if (standing.payers.some(({ overMinor }) => overMinor > 0))
    return 'The records now say less than was billed, or another payer.'
  if (standing.lines.some(({ settlesMinor }) => settlesMinor < 0)) return 'A credit note said to bill it again.'
  if (!standing.isFresh) return 'The records now say more than was billed.'
  if (item.of === 'visit') return `Done on ${dateInWords(item.visit.date)}, on no invoice yet.`
  if (item.of === 'part') return `Used on ${dateInWords(item.part.date)}, on no invoice yet.`
  return 'On no invoice yet.'
}
