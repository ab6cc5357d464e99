/** The demo's prices: the first hour of a call-out, and the parts that go off the van. Net, in pounds. */
export type DemoPrice = {
  key: string
  name: string
  kind: 'labour' | 'part' | 'animal'
  unit: string
  price: string
  forVisitKind: '' | 'routine' | 'call_out' | 'installation'
  /** The work that uses it. */
  task?: string
}

const part = (key: string, name: string, price: string, task: string): DemoPrice => ({
  ...{ key, name, price, task },
  kind: 'part',
  unit: 'piece',
  forVisitKind: '',
})

export const DEMO_PRICES: readonly DemoPrice[] = [
  { key: 'call-out', name: 'Call-out', kind: 'labour', unit: 'hour', price: '68.00', forVisitKind: 'call_out' },
  { key: 'visit', name: 'Visit', kind: 'labour', unit: 'hour', price: '52.00', forVisitKind: 'routine' },
  {
    key: 'installation',
    name: 'Installation',
    kind: 'labour',
    unit: 'hour',
    price: '60.00',
    forVisitKind: 'installation',
  },
  part('lamp', 'UV lamp', '38.50', 'uv-steriliser/replace-lamp'),
  part('tube', 'Dosing pump tube', '9.80', 'dosing-pump/replace-tube'),
  part('heater', 'Heater', '44.00', 'heater/replace'),
  part('cylinder', 'CO2 cylinder, exchanged', '24.00', 'carbon-dioxide-set/change-cylinder'),
  part('seal', 'External filter seal', '7.40', 'external-filter/replace-seal'),
]

/** The part that a piece of work takes, if any. */
export const partOf = (task: string): DemoPrice | undefined => DEMO_PRICES.find((price) => price.task === task)
