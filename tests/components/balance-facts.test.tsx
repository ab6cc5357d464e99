import { renderToStaticMarkup } from 'react-dom/server'
import { expect, test } from 'vitest'
import { BalanceFacts } from '@/components/money'

test('credit in hand is written without a minus: it is the client’s, whatever the balance', () => {
  const balance = {
    ...{ currency: 'GBP', outstandingMinor: 0, openCount: 0, overdueMinor: 0, overdueCount: 0 },
    ...{ inHandMinor: 13_440, debtorsMinor: -13_440, agedMinor: [0, 0, 0, 0, 0] },
  }
  const text = renderToStaticMarkup(<BalanceFacts balances={[balance]} locale="en-GB" />).replace(/<[^>]*>/g, ' ')
  expect(text.replace(/\s+/g, ' ')).toContain('Overdue, 0 £0.00 Credit in hand £134.40 Balance −£134.40')
})
