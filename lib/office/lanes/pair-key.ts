/** The key of a class × mode in a map. */
export function pairKey(pair: { equipmentClass: string; failureMode: string }): string {
  return `${pair.equipmentClass} ${pair.failureMode}`
}
