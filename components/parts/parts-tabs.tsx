import { TabLinks } from '@/components/paper'

const TABS = [
  { href: '/parts', label: 'Parts' },
  { href: '/parts/orders', label: 'Orders' },
  { href: '/parts/vans', label: 'Vans' },
  { href: '/parts/suppliers', label: 'Suppliers' },
  { href: '/parts/lots', label: 'Lots' },
] as const

/** The pages about parts and stock. */
export function PartsTabs({ current }: { current: (typeof TABS)[number]['href'] }) {
  return <TabLinks label="Parts" items={TABS.map((tab) => ({ ...tab, current: tab.href === current }))} />
}
