export type OrderQuantity = {
  /** Units to order at a time, a multiple of the pack. */
  quantity: number
  /** Ordering and keeping, without the goods themselves, a year. */
  costPerYear: number
  ordersPerYear: number
}

/**
 * How much to order at a time: the multiple of the pack with the least orderCost · demand / Q + keepingCost · Q / 2. With packs of one it is Harris's square root,
 * √(2 · demand · orderCost / keepingCost), taken to the better whole number next to it.
 * Units: demand a year; orderCost for an order; keepingCost for one unit kept for a year. Domain: demand and orderCost 0 or more, keepingCost above 0, packs of 1 or more whole
 * units. No demand: quantity 0. Errors: RangeError. Source: Harris 1913, Factory 10: 135–136, 152 (the square-root formula); the pack by comparing its two neighbours, since the cost is convex.
 * @example orderQuantity({ demandPerYear: 9600, orderCost: 75, keepingCost: 16 }).quantity // 300
 */
export function orderQuantity({
  demandPerYear,
  orderCost,
  keepingCost,
  packSize = 1,
}: {
  demandPerYear: number
  orderCost: number
  keepingCost: number
  packSize?: number
}): OrderQuantity {
  for (const [name, value] of Object.entries({ demandPerYear, orderCost }))
    if (!(value >= 0 && value < Infinity)) throw new RangeError(`${name} must be a number of 0 or more, got ${value}`)
  if (!(keepingCost > 0 && keepingCost < Infinity))
    throw new RangeError(`keepingCost must be a number above 0, got ${keepingCost}`)
  if (!(Number.isInteger(packSize) && packSize >= 1))
    throw new RangeError(`packSize must be a whole number of 1 or more, got ${packSize}`)
  if (demandPerYear === 0) return { quantity: 0, costPerYear: 0, ordersPerYear: 0 }
  const cost = (quantity: number) => (orderCost * demandPerYear) / quantity + (keepingCost * quantity) / 2
  const packs = Math.sqrt((2 * demandPerYear * orderCost) / keepingCost) / packSize
  const fewer = Math.max(1, Math.floor(packs)) * packSize
  const quantity = cost(fewer) <= cost(fewer + packSize) ? fewer : fewer + packSize
  return { quantity, costPerYear: cost(quantity), ordersPerYear: demandPerYear / quantity }
}
