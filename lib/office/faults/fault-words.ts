import { ALMOST_SURE } from '@/lib/trade'
import type { FaultRow } from './fault-row'

/** How sure in words, before any figure: "at least twice as often, almost surely"; "2 in 3". */
export function ratioWords(fault: Pick<FaultRow, 'rateRatio' | 'ratioLower'>): string {
  const times = Math.round(fault.rateRatio * 10) / 10
  const about =
    times >= 3.5
      ? `about ${Math.round(times)} times`
      : times >= 2.5
        ? 'about three times'
        : times >= 1.75
          ? 'about twice'
          : `${times.toFixed(1)} times`
  const least =
    fault.ratioLower >= 3
      ? 'at least three times'
      : fault.ratioLower >= 2
        ? 'at least twice'
        : fault.ratioLower >= 1.5
          ? 'at least half as often again'
          : ''
  return least ? `${about} as often as on the route (${least}, almost surely)` : `${about} as often as on the route`
}

/** A chance in words a person uses: "almost surely", "9 in 10", "2 in 3", "1 in 2". */
export function chanceWords(probability: number): string {
  if (probability >= ALMOST_SURE) return 'almost surely'
  if (probability >= 0.85) return '9 in 10'
  if (probability >= 0.75) return '4 in 5'
  if (probability >= 0.6) return '2 in 3'
  if (probability >= 0.42) return '1 in 2'
  if (probability >= 0.28) return '1 in 3'
  return 'less than 1 in 4'
}

/** What helps: for a fault that strikes by chance not cleaning, but the cause. */
export function adviceWords(byChance: boolean): string {
  return byChance
    ? 'It strikes by chance, so cleaning earlier does not help: remove the cause or look more often.'
    : 'It builds up faster here than elsewhere: find out what feeds it, or renew it more often at this tank.'
}
