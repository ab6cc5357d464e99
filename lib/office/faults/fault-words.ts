import type { FaultRow } from './fault-row'

export { chanceInWords } from '@/lib/trade'

/** How sure in words, before any figure: "at least twice as often, 19 times in 20". */
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
  return least ? `${about} as often as on the route (${least}, 19 times in 20)` : `${about} as often as on the route`
}

/** What helps: for a fault that strikes by chance not cleaning, but the cause. */
export function adviceWords(byChance: boolean): string {
  return byChance
    ? 'It strikes by chance, so cleaning earlier does not help: remove the cause or look more often.'
    : 'It builds up faster here than elsewhere: find out what feeds it, or renew it more often at this tank.'
}
