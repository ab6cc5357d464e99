/** What the demo keeps: invented suppliers, parts with the work that uses them, a shelf and a van for each technician. */
export const DEMO_SUPPLIERS = [
  { key: 'trade', name: 'Gannet Row Supplies', leadTimeDays: '10', note: 'Customer number 40417. Orders before noon.' },
  { key: 'gas', name: 'Ellery Gas Depot', leadTimeDays: '3', note: 'Cylinders are exchanged; bring the empty ones.' },
] as const

export type DemoPart = {
  key: string
  name: string
  supplier: (typeof DEMO_SUPPLIERS)[number]['key']
  cost: string
  orderCost: string
  packSize: string
  /** Key in the price list, where it is billed. */
  price: string
  task: string
  leadTimeDays: string
}

const part = (key: string, name: string, cost: string, task: string, more: Partial<DemoPart> = {}): DemoPart => ({
  ...{ key, name, cost, task, supplier: 'trade', orderCost: '6.50', packSize: '1', price: key, leadTimeDays: '' },
  ...more,
})

export const DEMO_PARTS: readonly DemoPart[] = [
  part('lamp', 'UV lamp', '21.00', 'uv-steriliser/replace-lamp'),
  part('tube', 'Dosing pump tube', '4.20', 'dosing-pump/replace-tube', { packSize: '5' }),
  part('heater', 'Heater', '26.00', 'heater/replace'),
  part('cylinder', 'CO2 cylinder, exchanged', '12.00', 'carbon-dioxide-set/change-cylinder', {
    ...{ supplier: 'gas', orderCost: '2.00' },
  }),
  part('seal', 'External filter seal', '3.10', 'external-filter/replace-seal', { packSize: '2' }),
  part('impeller', 'Return pump impeller set', '18.40', 'return-pump/replace-impeller', {
    price: '',
    leadTimeDays: '14',
  }),
]

/** On the shelf, and in each van, when the business began to keep its stock in the tool. */
export const OPENING_SHELF = 5
export const OPENING_VAN = 2
