import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, test, vi } from 'vitest'
import { CheckField, Form } from '@/components/forms'
import { PaymentQuestions } from '@/components/money/payment-questions'

// What a form asks of the page around it.
vi.mock('next/navigation', () => ({ usePathname: () => '/', useRouter: () => ({}) }))

const never = () => Promise.reject(new Error('nothing is sent here'))
const boxes = (html: string) => html.match(/<input[^>]*type="checkbox"[^>]*>/g) ?? []

describe('what a tick sends', () => {
  // HTML: a checkbox without a value attribute sends "on"; one with value="" sends nothing that reads as a yes.
  test('a box that the form was told nothing about has no blank value', () => {
    const html = renderToStaticMarkup(
      <Form name="try" action={never}>
        {({ field }) => <CheckField {...field('sure')} label="Yes" />}
      </Form>,
    )
    expect(boxes(html)).toHaveLength(1)
    expect(boxes(html)[0]).not.toContain('value=')
  })

  test('a box with a value of its own keeps it', () => {
    const html = renderToStaticMarkup(
      <Form name="try" action={never} values={{ draft: true }}>
        {({ field }) => <CheckField {...field('draft')} value="297" label="Yes" />}
      </Form>,
    )
    expect(boxes(html)[0]).toContain('value="297"')
    expect(boxes(html)[0]).toContain('checked')
  })

  test.each(['long-ago', 'twice', 'overpaid'])(
    'the question "%s" of a payment can be answered in the screen',
    (reason) => {
      const html = renderToStaticMarkup(
        <Form name="try" action={never}>
          {(form) => <PaymentQuestions {...form} refusal={reason} />}
        </Form>,
      )
      expect(boxes(html)).toHaveLength(1)
      expect(boxes(html)[0]).not.toContain('value=')
    },
  )
})
