import { expect } from 'vitest'
import { AccountApart } from './account-apart'
import type { Event, IssuedLine, Office } from './events'

const sorted = (amounts: Map<string, number>) => Object.fromEntries([...amounts].sort(([a], [b]) => (a < b ? -1 : 1)))

/** What a walk met, so that a test can tell that it met anything. */
export type Met = { invoicesOf: number; lines: number; credits: number; waivers: number; over: number; parts: number }

/**
 * Tells one history to an office and to the account apart, and holds what is billed, billed too much and credited against each other
 * at every step. Errors: an assertion that names the step.
 */
export async function walkHistory(events: readonly Event[], office: Office, name: string): Promise<Met> {
  const account = new AccountApart()
  const issued: IssuedLine[] = []
  const met: Met = { invoicesOf: 0, lines: 0, credits: 0, waivers: 0, over: 0, parts: 0 }
  let through = '2022-01'
  for (const [step, event] of events.entries()) {
    const where = `${name}, step ${step}`
    switch (event.does) {
      case 'bill': {
        const expected = account.open(event.through)
        const over = account.over(event.through)
        const said = await office.over(event.through)
        const byKey = (rows: typeof over) => new Map(rows.map((row) => [`${row.key}|${row.payer}`, row.overMinor]))
        expect(sorted(byKey(said)), `${where}: billed too much`).toEqual(sorted(byKey(over)))
        met.over += over.length
        const lines = await office.bill(event.through, event.thrownAway)
        const billed = new Map<string, number>()
        for (const line of lines)
          for (const { key, settlesMinor } of line.parts) {
            const at = `${key}|${line.payer}`
            billed.set(at, (billed.get(at) ?? 0) + settlesMinor)
          }
        expect(sorted(billed), `${where}: billed through ${event.through}`).toEqual(sorted(expected))
        // A line says what it settles, to the penny.
        for (const { netMinor, parts } of lines)
          expect(
            parts.reduce((sum, part) => sum + part.settlesMinor, 0),
            where,
          ).toBe(netMinor)
        if (event.thrownAway) break
        account.billed(lines)
        issued.push(...lines)
        through = event.through > through ? event.through : through
        met.invoicesOf += 1
        met.lines += lines.length
        met.parts += lines.filter(({ parts }) => parts.length > 1).length
        expect(account.open(event.through).size, `${where}: all that was open is billed`).toBe(0)
        break
      }
      case 'credit': {
        const line = issued[Math.floor(event.pick * issued.length)]
        const left = line ? account.leftOf(line.lineId) : 0
        if (!line || left === 0) break
        const amount = event.share === 1 ? left : Math.max(1, Math.floor(left * event.share))
        const net = await office.credit(line.lineId, event.share === 1 ? 'all' : amount, event.effect)
        expect(net, `${where}: the credit note`).toBe(amount)
        account.credited(line.lineId, amount, event.effect)
        met.credits += 1
        break
      }
      case 'waive': {
        const waived = new Set(account.waivedKeys())
        const keys = account.keys(through).filter((key) => !waived.has(key))
        const key = keys[Math.floor(event.pick * keys.length)]
        if (key === undefined) break
        await office.waive(key)
        account.waive(key)
        met.waivers += 1
        break
      }
      case 'take-back': {
        const keys = account.waivedKeys()
        const key = keys[Math.floor(event.pick * keys.length)]
        if (key === undefined) break
        await office.takeBack(key)
        account.takeBack(key)
        break
      }
      default:
        await office.tell(event)
        account.tell(event)
    }
  }
  return met
}
