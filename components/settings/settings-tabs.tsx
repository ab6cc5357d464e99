import { TabLinks } from '@/components/paper'

const TABS = [
  { href: '/settings', label: 'Business and invoices' },
  { href: '/settings/costs', label: 'Costs' },
  { href: '/settings/refused-entries', label: 'Refused entries' },
] as const

/** The pages of the settings. */
export function SettingsTabs({ current }: { current: (typeof TABS)[number]['href'] }) {
  return <TabLinks label="Settings" items={TABS.map((tab) => ({ ...tab, current: tab.href === current }))} />
}
