/**
 * An account of what is to be billed, written apart: it shares no code with the office, and goes by single days. Every day of a tank has a
 * fee and a payer written on it; a change rewrites the days from its first one on. What it takes from the office are names only.
 */
import {
  CLIENT_OF,
  type FactEvent,
  HOURLY,
  type IssuedLine,
  type Key,
  type Over,
  PART_PRICE,
  type Payer,
  ROUTINE_PRICE,
  type Rule,
  SITE_OF,
  type Site,
  type Tank,
} from './events'

const ALL_DAYS: string[] = []
for (let at = Date.UTC(2021, 9, 1); at < Date.UTC(2027, 0, 1); at += 86_400_000)
  ALL_DAYS.push(new Date(at).toISOString().slice(0, 10))

const DAYS_OF = new Map<string, string[]>()
for (const day of ALL_DAYS) DAYS_OF.set(day.slice(0, 7), [...(DAYS_OF.get(day.slice(0, 7)) ?? []), day])

const centsOf = (price: string) => Math.round(Number(price) * 100)

/** Shares by weights: whole pennies first, then one each by what was cut off, the first of equals first. */
function shareOut(total: number, weights: number[]): number[] {
  const all = weights.reduce((sum, weight) => sum + weight, 0)
  if (all === 0) return weights.map(() => 0)
  const shares = weights.map((weight) => Math.floor((total * weight) / all))
  const cutOff = weights.map((weight, place) => ({ place, rest: (total * weight) % all }))
  cutOff.sort((a, b) => b.rest - a.rest || a.place - b.place)
  const missing = total - shares.reduce((sum, share) => sum + share, 0)
  for (const { place } of cutOff.slice(0, missing)) shares[place] = (shares[place] ?? 0) + 1
  return shares
}

type Visit = Extract<FactEvent, { does: 'visit' }>
type Part = Extract<FactEvent, { does: 'part' }>
type Owed = { payer: Payer; minor: number }[]
type Entry = { settled: Map<Payer, number>; givenUp: Map<Payer, number>; rule: Rule | null; isWaived: boolean }

export class AccountApart {
  private readonly fees = new Map<string, { feeMinor: number; billNoAccess: boolean }>()
  private readonly payers = new Map<string, Payer>()
  private readonly visits = new Map<string, Visit>()
  private readonly parts = new Map<string, Part>()
  private readonly entries = new Map<Key, Entry>()
  private readonly lines = new Map<string, { payer: Payer; left: { key: Key; minor: number }[] }>()
  private rule: Rule = 'full'
  issuedMinor = 0
  creditedMinor = 0

  constructor() {
    for (const site of Object.values(SITE_OF))
      for (const day of ALL_DAYS) this.payers.set(`${site} ${day}`, CLIENT_OF[site])
  }

  tell(event: FactEvent): void {
    // A change of days may reach any month and visit; a correction only its own.
    if (event.does === 'agree' || event.does === 'end' || event.does === 'payer') this.known.clear()
    if (event.does === 'minutes') this.known.delete(`visit ${event.id} `)
    if (event.does === 'quantity') this.known.delete(`part ${event.id} `)
    switch (event.does) {
      case 'agree':
        for (const day of ALL_DAYS) if (day >= event.from) this.fees.set(`${event.tank} ${day}`, event)
        break
      case 'end':
        for (const day of ALL_DAYS) if (day > event.last) this.fees.delete(`${event.tank} ${day}`)
        break
      case 'payer':
        for (const day of ALL_DAYS) if (day >= event.since) this.payers.set(`${event.site} ${day}`, event.payer)
        break
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

  /** Every charge there is up to the end of a month. */
  keys(through: string): Key[] {
    const months = new Set<Key>()
    for (const [month, days] of DAYS_OF)
      for (const tank of month >= '2022-01' && month <= through ? Object.keys(SITE_OF) : [])
        if (days.some((day) => this.fees.has(`${tank} ${day}`))) months.add(`agreement_month ${tank} ${month}`)
    for (const key of this.entries.keys())
      if (key.startsWith('agreement_month') && key.slice(-7) <= through) months.add(key)
    const done = (of: { day: string }) => of.day.slice(0, 7) <= through
    const visits = [...this.visits.values()].filter(done).map(({ id }) => `visit ${id} `)
    const parts = [...this.parts.values()].filter(done).map(({ id }) => `part ${id} `)
    return [...months, ...visits, ...parts]
  }

  private payerOn(site: Site, day: string): Payer {
    return this.payers.get(`${site} ${day}`) ?? CLIENT_OF[site]
  }

  /** What is owed changes only with what its days say, and a month's with the rule it goes by. */
  private readonly known = new Map<string, Owed>()

  private owed(key: Key): Owed {
    const at = key.startsWith('agreement_month') ? `${key} ${this.ruleOf(key)}` : key
    const known = this.known.get(at) ?? this.reckon(key)
    this.known.set(at, known)
    return known
  }

  private reckon(key: Key): Owed {
    const [kind = '', subject = '', month = ''] = key.split(' ')
    if (kind === 'visit') return this.owedForVisit(subject)
    return kind === 'part' ? this.owedForPart(subject) : this.owedForMonth(key, subject as Tank, month) // keys of months name a tank
  }

  private owedForMonth(key: Key, tank: Tank, month: string): Owed {
    const days = DAYS_OF.get(month) ?? []
    const covered = days.flatMap((day) => {
      const feeMinor = this.fees.get(`${tank} ${day}`)?.feeMinor ?? 0
      return feeMinor > 0 ? [{ feeMinor, payer: this.payerOn(SITE_OF[tank], day) }] : []
    })
    const rule = this.ruleOf(key)
    const payers = [...new Set(covered.map(({ payer }) => payer))]
    const sameFee = covered.length === days.length && new Set(covered.map(({ feeMinor }) => feeMinor)).size === 1
    let total = 0
    if (rule === 'full' || sameFee) {
      let most = 0
      for (const { feeMinor } of covered) {
        const count = covered.filter((day) => day.feeMinor === feeMinor).length
        if (count >= most) {
          most = count
          total = feeMinor
        }
      }
    } else total = Math.round(covered.reduce((sum, { feeMinor }) => sum + feeMinor, 0) / days.length + 1e-9)
    const weights = payers.map((payer) =>
      covered
        .filter((day) => day.payer === payer)
        .reduce((sum, { feeMinor }) => sum + (rule === 'full' || sameFee ? 1 : feeMinor), 0),
    )
    const shares = shareOut(total, weights)
    return payers.map((payer, place) => ({ payer, minor: shares[place] ?? 0 }))
  }

  /** A month that is billed keeps the rule by which it was. */
  private ruleOf(key: Key): Rule {
    const entry = this.entries.get(key)
    const settled = entry ? [...entry.settled.values()].reduce((sum, minor) => sum + minor, 0) : 0
    return (settled > 0 && entry?.rule) || this.rule
  }

  private owedForVisit(id: string): Owed {
    const visit = this.visits.get(id)
    if (!visit) throw new Error(`no visit ${id}`)
    const { tank, day, kind, outcome, minutes, outOfHours } = visit
    const agreed = this.fees.get(`${tank} ${day}`)
    if (kind === 'return_check') return []
    if (kind === 'routine' && (agreed?.feeMinor ?? 0) > 0) return []
    if (outcome === 'no_access' && !agreed?.billNoAccess) return []
    const payer = this.payerOn(SITE_OF[tank], day)
    const hour = centsOf(outOfHours ? HOURLY.out_of_hours : kind === 'routine' ? ROUTINE_PRICE : HOURLY[kind])
    if (kind === 'routine' || outcome === 'no_access') return [{ payer, minor: hour }]
    let minor = hour
    for (let after = 60; after < minutes; after += 15) minor += hour / 4
    return [{ payer, minor }]
  }

  private owedForPart(id: string): Owed {
    const part = this.parts.get(id)
    if (!part) throw new Error(`no part ${id}`)
    if (!part.billable) return []
    // In thousandths of a penny, so that a half is a half.
    const exact = Math.round(Number(part.quantity) * 1000) * Math.round(Number(PART_PRICE[part.name]) * 10_000)
    const minor = Math.floor((exact + 50_000) / 100_000)
    return [{ payer: this.payerOn(SITE_OF[part.tank], part.day), minor }]
  }

  private entry(key: Key): Entry {
    const known = this.entries.get(key) ?? { settled: new Map(), givenUp: new Map(), rule: null, isWaived: false }
    this.entries.set(key, known)
    return known
  }

  /** What must be on the next invoices: by charge and payer. */
  open(through: string): Map<string, number> {
    const open = new Map<string, number>()
    for (const key of this.keys(through)) {
      const entry = this.entries.get(key)
      if (entry?.isWaived) continue
      const owed = this.owed(key)
      const lacks = owed.map(({ payer, minor }) => Math.max(0, minor - (entry?.settled.get(payer) ?? 0)))
      const due = owed.reduce((sum, { minor }) => sum + minor, 0)
      const settled = [...(entry?.settled.values() ?? [])].reduce((sum, minor) => sum + minor, 0)
      const most = Math.max(0, due - settled)
      const lacking = lacks.reduce((sum, lack) => sum + lack, 0)
      const now = lacking > most ? shareOut(most, lacks) : lacks
      owed.forEach(({ payer }, place) => {
        if ((now[place] ?? 0) > 0) open.set(`${key}|${payer}`, now[place] ?? 0)
      })
    }
    return open
  }

  /** What is billed beyond what is owed: by charge and payer. */
  over(through: string): Over[] {
    return this.keys(through).flatMap((key) => {
      const entry = this.entries.get(key)
      if (!entry || entry.isWaived) return []
      const owed = this.owed(key)
      return [...entry.settled].flatMap(([payer, settled]) => {
        const due = owed.find((one) => one.payer === payer)?.minor ?? 0
        const overMinor = settled - (entry.givenUp.get(payer) ?? 0) - due
        return overMinor > 0 ? [{ key, payer, overMinor }] : []
      })
    })
  }

  billed(lines: readonly IssuedLine[]): void {
    for (const { lineId, payer, netMinor, parts } of lines) {
      this.issuedMinor += netMinor
      this.lines.set(lineId, { payer, left: parts.map(({ key, settlesMinor }) => ({ key, minor: settlesMinor })) })
      for (const { key, settlesMinor } of parts) {
        const entry = this.entry(key)
        const before = [...entry.settled.values()].reduce((sum, minor) => sum + minor, 0)
        if (before <= 0 || entry.rule === null) entry.rule = this.rule
        entry.settled.set(payer, (entry.settled.get(payer) ?? 0) + settlesMinor)
      }
    }
  }

  leftOf(lineId: string): number {
    return this.lines.get(lineId)?.left.reduce((sum, { minor }) => sum + minor, 0) ?? 0
  }

  credited(lineId: string, amountMinor: number, effect: 'reopen' | 'waive'): void {
    const line = this.lines.get(lineId)
    if (!line) throw new Error(`no line ${lineId}`)
    this.creditedMinor += amountMinor
    let still = amountMinor
    for (const part of [...line.left].sort((a, b) => (a.key < b.key ? 1 : -1))) {
      const take = Math.min(still, part.minor)
      still -= take
      part.minor -= take
      const entry = this.entry(part.key)
      const column = effect === 'reopen' ? entry.settled : entry.givenUp
      column.set(line.payer, (column.get(line.payer) ?? 0) + (effect === 'reopen' ? -take : take))
    }
    if (still > 0) throw new Error('more was credited than was billed')
  }

  waive(key: Key): void {
    this.entry(key).isWaived = true
  }

  takeBack(key: Key): void {
    this.entry(key).isWaived = false
  }

  waivedKeys(): Key[] {
    return [...this.entries].flatMap(([key, { isWaived }]) => (isWaived ? [key] : []))
  }
}
