import { TabLinks } from '@/components/paper'

const TABS = [
  { href: '/repeat-faults', label: 'Faults' },
  { href: '/repeat-faults/over-time', label: 'Over time' },
  { href: '/repeat-faults/people', label: 'Who looked' },
] as const

/** The pages of the repeat faults. */
export function FaultsTabs({ current }: { current: (typeof TABS)[number]['href'] }) {
  return <TabLinks label="Repeat faults" items={TABS.map((tab) => ({ ...tab, current: tab.href === current }))} />
}
