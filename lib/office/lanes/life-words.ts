import type { PairKnowledge } from './life-models'

/** How a life ends, by its shape. */
export function shapeWords(shape: number): 'by chance' | 'builds up' | 'wears out at an age' {
  if (shape <= 1.1) return 'by chance'
  return shape < 2.5 ? 'builds up' : 'wears out at an age'
}

export type Interval = { median: number; lower: number; upper: number }

/** Median life in days and shape of a typical tank, each with its 90 % interval, from the stored life model. */
export function typicalLife({ population }: PairKnowledge['model']): { medianDays: Interval; shape: Interval } {
  const medians = population.map(({ logShape, logScale, weight }) => ({
    value: Math.exp(logScale + Math.log(Math.LN2) / Math.exp(logShape)),
    weight,
  }))
  return {
    medianDays: intervalOf(medians),
    shape: intervalOf(population.map(({ logShape, weight }) => ({ value: Math.exp(logShape), weight }))),
  }
}

function intervalOf(points: { value: number; weight: number }[]): Interval {
  const sorted = [...points].sort((one, other) => one.value - other.value)
  const total = sorted.reduce((sum, { weight }) => sum + weight, 0)
  const at = (share: number) => {
    let reached = 0
    for (const [i, { value, weight }] of sorted.entries()) {
      // Each point stands for the stretch around it: straight lines between their middles.
      const middle = reached + weight / 2
      if (middle >= share * total) {
        const before = sorted[i - 1]
        if (!before) return value
        const from = reached - before.weight / 2
        return before.value + ((value - before.value) * (share * total - from)) / (middle - from)
      }
      reached += weight
    }
    return sorted.at(-1)?.value ?? 0
  }
  return { median: at(0.5), lower: at(0.05), upper: at(0.95) }
}
