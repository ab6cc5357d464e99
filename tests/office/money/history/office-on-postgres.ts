import { newId } from '@/lib/new-id'
import { EMPTY_SITE } from '@/lib/office/clients/schema'
import { editSite } from '@/lib/office/clients/site-commands'
import type { Actor } from '@/lib/office/frame/actor'
import { chargeText } from '@/lib/office/money/charge'
import {
  chooseMonthRule,
  creditInvoice,
  discardDraft,
  makeDrafts,
  takeBackWaiver,
  waiveCharge,
} from '@/lib/office/money/commands'
import { leftOfLine } from '@/lib/office/money/credit-lines'
import { creditable } from '@/lib/office/money/credit-state'
import { minorToDecimalText } from '@/lib/office/money/currency'
import { issueReady } from '@/lib/office/money/issue-ready'
import { readCharges } from '@/lib/office/money/read-charges'
import { waiveChargeSchema } from '@/lib/office/money/schema'
import { changeAgreement, endAgreement } from '@/lib/office/tanks/commands'
import { pinClock } from '../../../setup/pinned-clock'
import { accepted, look, makeClient, makeSite, makeTank, fresh as registerFresh } from '../../clients/register'
import { fresh, invoiceOf, issue, makePrice, makeSeller, type Place } from '../books'
import {
  CLIENT_OF,
  type FactEvent,
  HOURLY,
  type IssuedLine,
  type Key,
  type Office,
  PART_PRICE,
  PAYERS,
  type Payer,
  ROUTINE_PRICE,
  SITE_OF,
  type Site,
  TANKS,
  type Tank,
} from './events'
import { FIRST_MONTH } from './random-history'

const SITES = ['hotel', 'clinic'] as const
/** The day of every invoice, and the clock's: none is dated after the day it is issued. */
const ISSUED_ON = '2026-11-25'
const must = <Value>(value: Value | undefined): Value => {
  if (value === undefined) throw new Error('not known')
  return value
}

/** The office as it is: each event through the command that a person's form sends; visits and parts as the phone's writer leaves them. */
export class OfficeOnPostgres implements Office {
  private readonly ids = new Map<string, string>()
  private readonly names = new Map<string, string>()
  private readonly heads = new Map<string, string>()
  private readonly waiverIds = new Map<Key, string>()

  private constructor(private readonly actor: Actor) {}

  static async open(name: string): Promise<OfficeOnPostgres> {
    pinClock(new Date(`${ISSUED_ON}T12:00:00Z`))
    const office = new OfficeOnPostgres(await makeSeller(name))
    const { actor } = office
    for (const payer of PAYERS)
      office.know(
        payer,
        await makeClient(actor, { name: payer, billingAddress: '1 Mill Road', billingCity: 'Weyburn' }),
      )
    for (const site of SITES) office.know(site, await makeSite(actor, office.id(CLIENT_OF[site]), { name: site }))
    for (const tank of TANKS) office.know(tank, await makeTank(actor, office.id(SITE_OF[tank]), { name: tank }))
    await makePrice(actor, {
      name: 'Call-out',
      unitPrice: HOURLY.call_out,
      forVisitKind: 'call_out',
      validFrom: '2020-01-01',
    })
    await makePrice(actor, {
      name: 'Fitting',
      unitPrice: HOURLY.installation,
      forVisitKind: 'installation',
      validFrom: '2020-01-01',
    })
    await makePrice(actor, {
      name: 'Late',
      unitPrice: HOURLY.out_of_hours,
      forVisitKind: 'out_of_hours',
      validFrom: '2020-01-01',
    })
    await makePrice(actor, {
      name: 'Visit',
      unit: 'visit',
      unitPrice: ROUTINE_PRICE,
      forVisitKind: 'routine',
      validFrom: '2020-01-01',
    })
    for (const [part, unitPrice] of Object.entries(PART_PRICE))
      await makePrice(actor, { name: part, kind: 'part', unit: 'piece', unitPrice, validFrom: '2020-01-01' })
    return office
  }

  private know(name: string, id: string): void {
    this.ids.set(name, id)
    this.names.set(id, name)
  }

  private id(name: string): string {
    return must(this.ids.get(name))
  }

  private place(tank: Tank): Place {
    return { clientId: this.id(CLIENT_OF[SITE_OF[tank]]), siteId: this.id(SITE_OF[tank]), tankId: this.id(tank) }
  }

  async tell(event: FactEvent): Promise<void> {
    const { actor } = this
    const { businessId } = actor
    switch (event.does) {
      case 'agree': {
        const fields = {
          every: '2',
          everyUnit: 'weeks' as const,
          anchorOn: event.from,
          visitMinutes: '45',
          includes: '',
        }
        const money = { monthlyFee: minorToDecimalText(event.feeMinor, 'GBP'), currency: 'GBP', purchaseOrder: '' }
        const more = { preferredPersonId: '', billNoAccess: event.billNoAccess, startsOn: event.from }
        const tankId = this.id(event.tank)
        accepted(await changeAgreement(actor, { ...registerFresh(actor), ...fields, ...money, ...more, tankId }))
        break
      }
      case 'end': {
        const tankId = this.id(event.tank)
        const running = await look(actor, (tx) =>
          tx.agreement.findFirst({ where: { businessId, tankId, endsOn: null } }),
        )
        const agreementId = must(running?.id)
        accepted(await endAgreement(actor, { ...registerFresh(actor), agreementId, endsOn: event.last }))
        break
      }
      case 'payer':
        await this.changePayer(event.site, event.payer, event.since)
        break
      case 'visit': {
        const id = newId()
        const { kind, outcome, minutes, outOfHours, tank } = event
        const made = { kind, outcome, minutes, outOfHours, state: 'done', timeZone: 'Europe/London' }
        const localDate = new Date(`${event.day}T00:00:00Z`)
        await look(actor, (tx) =>
          tx.visit.create({ data: { businessId, id, ...this.place(tank), localDate, ...made } }),
        )
        this.know(event.id, id)
        break
      }
      case 'minutes': {
        const where = { businessId_id: { businessId, id: this.id(event.id) } }
        await look(actor, (tx) => tx.visit.update({ where, data: { minutes: event.minutes } }))
        break
      }
      case 'part': {
        const id = newId()
        const { clientId, tankId } = this.place(event.tank)
        const usedOn = new Date(`${event.day}T00:00:00Z`)
        const said = { description: event.name, quantity: event.quantity, billable: event.billable }
        await look(actor, (tx) => tx.partUsed.create({ data: { businessId, id, clientId, tankId, usedOn, ...said } }))
        this.know(event.id, id)
        this.heads.set(event.id, id)
        break
      }
      case 'quantity': {
        const head = must(this.heads.get(event.id))
        const id = newId()
        await look(actor, async (tx) => {
          const row = await tx.partUsed.findUniqueOrThrow({ where: { businessId_id: { businessId, id: head } } })
          const { quantity, billable } = event
          await tx.partUsed.create({ data: { ...row, id, correctsId: head, quantity, billable } })
        })
        this.heads.set(event.id, id)
        break
      }
      case 'rule':
        accepted(await chooseMonthRule(actor, { ...fresh(actor), rule: event.rule }))
    }
  }

  private async changePayer(site: Site, payer: Payer, payerSince: string): Promise<void> {
    const clientId = this.id(CLIENT_OF[site])
    const payerClientId = payer === CLIENT_OF[site] ? '' : this.id(payer)
    const fields = { ...EMPTY_SITE, name: site, clientId, payerClientId, payerSince, siteId: this.id(site) }
    accepted(await editSite(this.actor, { ...registerFresh(this.actor), ...fields }))
  }

  private keyOf(key: { kind: string; subjectId: string; period: string }): Key {
    return `${key.kind} ${must(this.names.get(key.subjectId))} ${key.period}`
  }

  private payerOf(id: string): Payer {
    return must(PAYERS.find((payer) => payer === this.names.get(id)))
  }

  async over(through: string) {
    const { businessId } = this.actor
    const work = await look(this.actor, (tx) => readCharges(tx, businessId, { through, since: FIRST_MONTH }))
    return work.items.flatMap(({ standing }) =>
      standing.payers.flatMap(({ payerId, overMinor }) =>
        overMinor > 0 ? [{ key: this.keyOf(standing.charge), payer: this.payerOf(payerId), overMinor }] : [],
      ),
    )
  }

  async bill(through: string, thrownAway: boolean): Promise<IssuedLine[]> {
    const { actor } = this
    const { businessId } = actor
    const { invoiceIds } = accepted(await makeDrafts(actor, { ...fresh(actor), through, since: FIRST_MONTH }))
    const rows = await look(actor, (tx) =>
      tx.invoiceLine.findMany({ where: { businessId, invoiceId: { in: invoiceIds } }, include: { chargeLines: true } }),
    )
    const lines = rows.map((row) => ({
      lineId: row.id,
      payer: this.payerOf(row.clientId),
      netMinor: row.netMinor,
      parts: row.chargeLines.map((part) => ({ key: this.keyOf(part), settlesMinor: part.settlesMinor })),
    }))
    if (thrownAway) {
      for (const invoiceId of invoiceIds) accepted(await discardDraft(actor, { ...fresh(actor), invoiceId }))
      return lines
    }
    const drafts = await look(actor, (tx) => tx.invoice.findMany({ where: { businessId, id: { in: invoiceIds } } }))
    if (drafts.length === 0) return lines
    const seen = drafts.map(({ id, grossMinor }) => ({ invoiceId: id, expectedGrossMinor: grossMinor }))
    const { issued } = accepted(await issueReady(actor, { ...fresh(actor), issuedOn: ISSUED_ON, drafts: seen }))
    const refused = issued.find(({ number }) => number === null)
    if (refused) throw new Error(refused.words)
    return lines
  }

  async credit(lineId: string, amount: number | 'all', effect: 'reopen' | 'waive'): Promise<number> {
    const { actor } = this
    const { businessId } = actor
    const line = await look(actor, (tx) =>
      tx.invoiceLine.findUniqueOrThrow({
        where: { businessId_id: { businessId, id: lineId } },
        include: { creditedBy: true },
      }),
    )
    const asked =
      amount === 'all'
        ? { quantity: leftOfLine(creditable(line, 'GBP')).leftQuantity.toFixed() }
        : { amount: minorToDecimalText(amount, 'GBP') }
    const lines = [{ lineId, effect, ...asked }]
    const input = { ...fresh(actor), invoiceId: line.invoiceId, reason: 'Agreed on the phone.', lines }
    const { invoiceId } = accepted(await creditInvoice(actor, input))
    accepted(await issue(actor, invoiceId, ISSUED_ON))
    return (await invoiceOf(actor, invoiceId)).netMinor
  }

  async waive(key: Key): Promise<void> {
    const [kind = '', subject = '', period = ''] = key.split(' ')
    const { actor } = this
    const charge = { kind, subjectId: this.id(subject), period, reason: 'a gift' }
    const input = waiveChargeSchema.parse({ ...fresh(actor), ...charge })
    this.waiverIds.set(chargeText(input), accepted(await waiveCharge(actor, input)).waiverId)
  }

  async takeBack(key: Key): Promise<void> {
    const [kind = '', subject = '', period = ''] = key.split(' ')
    const waiverId = must(this.waiverIds.get(`${kind} ${this.id(subject)} ${period}`))
    accepted(await takeBackWaiver(this.actor, { ...fresh(this.actor), waiverId }))
  }
}
