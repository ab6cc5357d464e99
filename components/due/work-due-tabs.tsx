import { TabLinks } from '@/components/paper'

const TABS = [
  { href: '/work-due', label: 'Due' },
  { href: '/work-due/intervals', label: 'Intervals' },
  { href: '/work-due/learned', label: 'What we have learned' },
  { href: '/work-due/how-often', label: 'How often to come' },
] as const

/** The pages about what is due and what that rests on. `proposals`: questions that wait for the owner. */
export function WorkDueTabs({ current, proposals }: { current: (typeof TABS)[number]['href']; proposals?: number }) {
  return (
    <TabLinks
      label="Work due"
      items={TABS.map((tab) => ({
        ...tab,
        current: tab.href === current,
        ...(tab.href === '/work-due/intervals' && proposals ? { count: proposals } : {}),
      }))}
    />
  )
}
