import { renderToStaticMarkup } from 'react-dom/server'
import { expect, test, vi } from 'vitest'
import { IssueReadyForm } from '@/components/money'

// What a form asks of the page around it.
vi.mock('next/navigation', () => ({ usePathname: () => '/money', useRouter: () => ({}) }))

const never = () => Promise.reject(new Error('nothing is sent here'))
const draft = (place: number, currency = 'GBP') => ({
  id: `d${place}`,
  clientName: `Client ${place}`,
  currency,
  grossMinor: 4800,
})
const rendered = (drafts: ReturnType<typeof draft>[]) =>
  renderToStaticMarkup(<IssueReadyForm action={never} today="2026-11-25" drafts={drafts} locale="en-GB" />)

test('count and sum are those of the boxes, each currency by itself', () => {
  const html = rendered([draft(1), draft(2), draft(3, 'EUR')])
  expect(html.match(/name="issue\|/g)).toHaveLength(3)
  expect(html).toContain('3 are ready, £96.00 and €48.00.')
})

test('one draft is issued on its own page', () => {
  expect(rendered([draft(1)])).toBe('')
})
