/** What happens to a small business over some years, as plain events: what the office and the account apart are both told. */

export type Tank = 'hall' | 'bar' | 'foyer'
export const TANKS: readonly Tank[] = ['hall', 'bar', 'foyer']
/** Two tanks stand at one site, one at another. */
export const SITE_OF = { hall: 'hotel', bar: 'hotel', foyer: 'clinic' } as const
export type Site = (typeof SITE_OF)[Tank]
export const CLIENT_OF = { hotel: 'hotel-client', clinic: 'clinic-client' } as const
export const PAYERS = ['hotel-client', 'clinic-client', 'landlord', 'insurer'] as const
export type Payer = (typeof PAYERS)[number]

export const VISIT_KINDS = ['routine', 'call_out', 'installation', 'return_check'] as const
export const OUTCOMES = ['done', 'cut_short', 'no_access'] as const
export type Kind = (typeof VISIT_KINDS)[number]
export type Outcome = (typeof OUTCOMES)[number]
export const PART_NAMES = ['Tube', 'Carbon'] as const
export type PartName = (typeof PART_NAMES)[number]
/** Net prices of one, as the list has them. */
export const PART_PRICE: Record<PartName, string> = { Tube: '6.4', Carbon: '0.333' }
/** Hourly, the first hour whole, then by the quarter begun; a routine visit without a fee has one price. */
export const HOURLY = { call_out: '55', installation: '48', out_of_hours: '80' } as const
export const ROUTINE_PRICE = '40'

export type Rule = 'full' | 'pro_rata'

export type FactEvent =
  | { does: 'agree'; tank: Tank; from: string; feeMinor: number; billNoAccess: boolean }
  | { does: 'end'; tank: Tank; last: string }
  | { does: 'payer'; site: Site; since: string; payer: Payer }
  | {
      does: 'visit'
      id: string
      tank: Tank
      day: string
      kind: Kind
      outcome: Outcome
      minutes: number
      outOfHours: boolean
    }
  | { does: 'minutes'; id: string; minutes: number }
  | { does: 'part'; id: string; tank: Tank; day: string; name: PartName; quantity: string; billable: boolean }
  | { does: 'quantity'; id: string; quantity: string; billable: boolean }
  | { does: 'rule'; rule: Rule }

/** `pick` chooses among what there is then, from 0 to 1. */
export type MoneyEvent =
  | { does: 'bill'; through: string; thrownAway: boolean }
  | { does: 'credit'; pick: number; share: number; effect: 'reopen' | 'waive' }
  | { does: 'waive'; pick: number }
  | { does: 'take-back'; pick: number }

export type Event = FactEvent | MoneyEvent

/** "kind subject period": a month of a tank, a visit, a part. */
export type Key = string
/** A line that was issued: who pays, its net, and what of which charge it settles. */
export type IssuedLine = { lineId: string; payer: Payer; netMinor: number; parts: { key: Key; settlesMinor: number }[] }
export type Over = { key: Key; payer: Payer; overMinor: number }

/** What is held against the account: the office in memory, or the one on Postgres. */
export type Office = {
  tell(event: FactEvent): Promise<void>
  /** Makes all drafts, and issues them, or throws them away. */
  bill(through: string, thrownAway: boolean): Promise<IssuedLine[]>
  /** What is billed beyond what is due. */
  over(through: string): Promise<Over[]>
  /** A credit note of an amount, or of all that is left; answers its net. */
  credit(lineId: string, amount: number | 'all', effect: 'reopen' | 'waive'): Promise<number>
  waive(key: Key): Promise<void>
  takeBack(key: Key): Promise<void>
}
