/** A number as it stands on a paper: the series' letters and at least four figures. Pure. @example numberInSeries('INV-', 42) // 'INV-0042' */
export function numberInSeries(prefix: string, number: number): string {
  return `${prefix}${String(number).padStart(4, '0')}`
}
