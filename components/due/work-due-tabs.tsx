import { TabLinks } from '@/components/paper'

const TABS = [
  { href: '/work-due', label: 'Due' },
  { href: '/work-due/intervals', label: 'Intervals' },
  { href: '/work-due/learned', label: 'What we have learned' },
  { href: '/work-due/how-often', label: 'How often to come' },
] as const

type Props = {
  current: (typeof TABS)[number]['href']
  /** Questions that wait for the owner. */
  proposals?: number
  /** Whether who looks may answer them; else that page is not theirs. */
  mayDecide: boolean
}

/** The pages about what is due and what that rests on. */
export function WorkDueTabs({ current, proposals, mayDecide }: Props) {
  return (
    <TabLinks
      label="Work due"
      items={TABS.filter(({ href }) => mayDecide || href !== '/work-due/intervals').map((tab) => ({
        ...tab,
        current: tab.href === current,
        ...(tab.href === '/work-due/intervals' && proposals ? { count: proposals } : {}),
      }))}
    />
  )
}
