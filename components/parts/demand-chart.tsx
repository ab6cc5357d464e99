import { LikelyBars } from '@/components/charts'

/** Below this a chance is not worth a bar of its own. */
const LEAST_SHARE = 0.005
/** What the numbers without a bar come to together is said, unless it is less than a rounding. */
const LEAST_REST = 0.001

type Props = { probabilities: readonly number[]; coverDays: number; keepAtLeast: number; unit: string }

/** How likely it is that so many will be needed, as bars; the bar up to which one should keep is named. */
export function DemandChart({ probabilities, coverDays, keepAtLeast, unit }: Props) {
  const shown = probabilities.flatMap((share, n) => (share >= LEAST_SHARE || n === keepAtLeast ? [{ n, share }] : []))
  const rest = 1 - shown.reduce((sum, { share }) => sum + share, 0)
  const items = shown.map(({ n, share }) => ({
    id: String(n),
    label: `${n === 0 ? 'none' : n}${n === keepAtLeast ? ' ← keep' : ''}${n === 0 ? '' : n === 1 ? ` ${unit}` : ''}`,
    share,
    words: shareWords(share),
  }))
  return (
    <LikelyBars
      label={`How many will be needed in ${coverDays} days`}
      items={
        rest < LEAST_REST
          ? items
          : [...items, { id: 'rest', label: 'fewer or more than shown', share: rest, words: shareWords(rest) }]
      }
    />
  )
}

const shareWords = (share: number) => (share < 0.01 ? '< 1\u00a0%' : `${Math.round(share * 100)}\u00a0%`)
