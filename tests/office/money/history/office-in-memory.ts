import { newId } from '@/lib/new-id'
import { type ChargeLine, chargeText, readChargeText } from '@/lib/office/money/charge'
import { type BilledPart, creditedParts, creditLine, leftOfLine } from '@/lib/office/money/credit-lines'
import { proposeDrafts } from '@/lib/office/money/draft-lines'
import type { OpenWork } from '@/lib/office/money/draft-pieces'
import { agreementOn, type MonthRule } from '@/lib/office/money/month-charge'
import { type PayerDecision, payerOn } from '@/lib/office/money/payer-on'
import type { Agreed } from '@/lib/office/money/settle-work'
import { shareNet } from '@/lib/office/money/split-minor'
import { hourlyRate } from '@/lib/office/money/time-rate'
import { lineNetMinor } from '@/lib/office/money/totals'
import type { PartToBill, VisitToBill } from '@/lib/office/money/work-charge'
import { openWork } from '../open-work'
import {
  CLIENT_OF,
  type FactEvent,
  HOURLY,
  type IssuedLine,
  type Office,
  PART_PRICE,
  PAYERS,
  type Payer,
  ROUTINE_PRICE,
  SITE_OF,
  TANKS,
  type Tank,
} from './events'

const tax = { category: 'S', ratePercent: '20', validFrom: null, validTo: null } as const
const place = { placeName: 'Hall', tankId: null, currency: 'GBP', purchaseOrder: null, tax }
const payers = PAYERS.map((id) => ({ id, name: id, needsPurchaseOrder: false }))
const asPayer = (id: string): Payer => {
  const payer = PAYERS.find((one) => one === id)
  if (!payer) throw new Error(`no payer ${id}`)
  return payer
}

const dayBefore = (day: string) => new Date(Date.parse(`${day}T00:00:00Z`) - 86_400_000).toISOString().slice(0, 10)

type HeldAgreement = Agreed & { tankId: string; billNoAccess: boolean }
type HeldLine = IssuedLine & {
  quantity: string
  unit: string
  unitPrice: string
  billed: BilledPart[]
  taken: Map<string, number>
  credits: { quantity: string; unitPrice: string; netMinor: number }[]
}

/** The office's own rules, with rows held in memory. */
export class OfficeInMemory implements Office {
  private agreements: HeldAgreement[] = []
  private readonly decisions = new Map<string, PayerDecision[]>()
  private readonly visits = new Map<string, Extract<FactEvent, { does: 'visit' }>>()
  private readonly parts = new Map<string, Extract<FactEvent, { does: 'part' }>>()
  private readonly lines = new Map<string, ChargeLine[]>()
  private readonly waivers = new Map<string, string>()
  private readonly issued = new Map<string, HeldLine>()
  private rule: MonthRule = 'full'
  private made = 0

  async tell(event: FactEvent): Promise<void> {
    this.read = null
    switch (event.does) {
      case 'agree': {
        this.agreements = this.agreements.map((row) =>
          row.tankId === event.tank && (row.endsOn === null || row.endsOn >= event.from)
            ? { ...row, endsOn: dayBefore(event.from) }
            : row,
        )
        const { tank: tankId, from: startsOn, feeMinor: monthlyFeeMinor, billNoAccess } = event
        const clientId = CLIENT_OF[SITE_OF[event.tank]]
        const agreement = { tankId, clientId, startsOn, endsOn: null, monthlyFeeMinor, billNoAccess, purchaseOrder: '' }
        this.agreements.push({ ...agreement, agreementId: newId() })
        break
      }
      case 'end':
        this.agreements = this.agreements.map((row) =>
          row.tankId === event.tank && row.endsOn === null ? { ...row, endsOn: event.last } : row,
        )
        break
      case 'payer': {
        const clientId = CLIENT_OF[event.site]
        const first = { since: '1900-01-01', madeAt: '0', id: '', clientId, payerId: clientId }
        this.made += 1
        const madeAt = String(this.made).padStart(9, '0')
        const decision = { since: event.since, madeAt, id: madeAt, clientId, payerId: event.payer }
        this.decisions.set(event.site, [...(this.decisions.get(event.site) ?? [first]), decision])
        break
      }
      case 'visit':
        this.visits.set(event.id, event)
        break
      case 'minutes': {
        const visit = this.visits.get(event.id)
        if (visit) this.visits.set(event.id, { ...visit, minutes: event.minutes })
        break
      }
      case 'part':
        this.parts.set(event.id, event)
        break
      case 'quantity': {
        const part = this.parts.get(event.id)
        if (part) this.parts.set(event.id, { ...part, quantity: event.quantity, billable: event.billable })
        break
      }
      case 'rule':
        this.rule = event.rule
    }
  }

  private payerOn(tank: string, clientId: string, day: string): string {
    const known = TANKS.find((one) => one === tank)
    return payerOn(known ? (this.decisions.get(SITE_OF[known]) ?? []) : [], day, clientId) || clientId
  }

  private payerOf(tank: Tank, day: string): string {
    const clientId = CLIENT_OF[SITE_OF[tank]]
    return this.decisions.has(SITE_OF[tank]) ? this.payerOn(tank, clientId, day) : clientId
  }

  private visitToBill(visit: Extract<FactEvent, { does: 'visit' }>): VisitToBill {
    const { id, tank, day: date, kind, outcome, minutes, outOfHours } = visit
    const agreement = agreementOn(
      this.agreements.filter(({ tankId }) => tankId === tank),
      date,
    )
    const flat = { firstMinutes: Number.MAX_SAFE_INTEGER, firstPrice: ROUTINE_PRICE, stepMinutes: 1, stepPrice: '0' }
    const hourly =
      kind === 'call_out' || kind === 'installation'
        ? hourlyRate(outOfHours ? HOURLY.out_of_hours : HOURLY[kind], {})
        : null
    const about = { date, kind, outcome, minutes, outOfHours, subject: '', rate: hourly ?? flat }
    return {
      ...place,
      ...about,
      id,
      tankId: tank,
      payerId: this.payerOf(tank, date),
      hasFee: (agreement?.monthlyFeeMinor ?? 0) > 0,
      billNoAccess: agreement?.billNoAccess ?? false,
    }
  }

  private partToBill(part: Extract<FactEvent, { does: 'part' }>): PartToBill {
    const { id, tank, day: date, name, quantity, billable } = part
    const priced = { priceItemId: null, unit: 'piece', unitPrice: PART_PRICE[name] }
    return { ...place, ...priced, id, tankId: tank, date, name, quantity, billable, payerId: this.payerOf(tank, date) }
  }

  private read: { through: string; work: OpenWork } | null = null

  /** Read once for a bill and the look before it. */
  private work(through: string): OpenWork {
    if (this.read?.through !== through) this.read = { through, work: this.readWork(through) }
    return this.read.work
  }

  private readWork(through: string) {
    const upTo = ({ day }: { day: string }) => day.slice(0, 7) <= through
    return openWork({
      through,
      payers,
      place,
      agreements: this.agreements,
      visits: [...this.visits.values()].filter(upTo).map((visit) => this.visitToBill(visit)),
      parts: [...this.parts.values()].filter(upTo).map((part) => this.partToBill(part)),
      rule: this.rule,
      lines: this.lines,
      waivers: this.waivers,
      payerOn: (tank, clientId, day) => {
        const known = TANKS.find((one) => one === tank)
        return known ? this.payerOf(known, day) : clientId
      },
    })
  }

  async over(through: string) {
    return this.work(through).items.flatMap(({ standing }) =>
      standing.payers.flatMap(({ payerId, overMinor }) =>
        overMinor > 0 ? [{ key: chargeText(standing.charge), payer: asPayer(payerId), overMinor }] : [],
      ),
    )
  }

  async bill(through: string, thrownAway: boolean): Promise<IssuedLine[]> {
    const lines: HeldLine[] = proposeDrafts(this.work(through)).flatMap(({ payerId, lines: proposed }) =>
      proposed.map((line) => {
        const unitPrice = typeof line.unitPrice === 'string' ? line.unitPrice : line.unitPrice.toFixed()
        const netMinor = lineNetMinor({ ...line, tax: { category: 'Z', ratePercent: '0' } }, 'GBP')
        const { quantity, unit } = line
        const held = { lineId: newId(), payer: asPayer(payerId), netMinor, quantity, unit, unitPrice }
        const parts = line.charges.map((part) => ({ key: chargeText(part), settlesMinor: part.settlesMinor }))
        return { ...held, parts, billed: shareNet(netMinor, line.charges), taken: new Map(), credits: [] }
      }),
    )
    if (thrownAway) return lines
    for (const line of lines) {
      this.issued.set(line.lineId, line)
      for (const part of line.billed) this.keep(line.payer, part)
    }
    return lines
  }

  private keep(payerId: string, part: BilledPart): void {
    this.read = null
    const { netMinor, settlesMinor, dueMinor, facts, ...key } = part
    const line = { payerId, netMinor, settlesMinor, dueMinor, facts, invoiceId: 'invoice', invoiceNumber: 'INV-1' }
    this.lines.set(chargeText(key), [...(this.lines.get(chargeText(key)) ?? []), line])
  }

  async credit(lineId: string, amount: number | 'all', effect: 'reopen' | 'waive'): Promise<number> {
    const line = this.issued.get(lineId)
    if (!line) throw new Error(`no line ${lineId}`)
    const creditable = { ...line, currency: 'GBP' }
    const asked =
      amount === 'all' ? { quantity: leftOfLine(creditable).leftQuantity.toFixed() } : { amountMinor: amount }
    const credited = creditLine(creditable, asked)
    if (!credited) throw new Error(`refused: ${JSON.stringify({ line, asked })}`)
    line.credits.push(credited)
    for (const part of creditedParts(line.billed, line.taken, { netMinor: credited.netMinor, effect }, chargeText)) {
      const key = chargeText(part)
      line.taken.set(key, (line.taken.get(key) ?? 0) + Math.abs(part.netMinor))
      this.keep(line.payer, part)
    }
    return credited.netMinor
  }

  async waive(key: string): Promise<void> {
    this.read = null
    this.waivers.set(chargeText(readChargeText(key)), 'a gift')
  }

  async takeBack(key: string): Promise<void> {
    this.read = null
    this.waivers.delete(chargeText(readChargeText(key)))
  }
}
