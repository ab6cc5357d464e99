'use client'

import { zodResolver } from '@hookform/resolvers/zod'
import { useRouter } from 'next/navigation'
import { useForm } from 'react-hook-form'
import { z } from 'zod'
import { ErrorSummary, Field, SubmitButton } from '@/components/forms'
import { newId } from '@/lib/new-id'
import { creditInvoiceSchema } from '@/lib/office/money/schema'
import { type Act, useSend } from './use-send'

type Line = { id: string; description: string; quantity: string; unit: string; creditable: string }
type Props = { businessId: string; invoiceId: string; lines: readonly Line[]; act: Act<{ invoiceId: string }> }

const FORM = 'credit'

/** An empty quantity or 0 leaves a line as it is. */
const typedSchema = z
  .looseObject({ lines: z.array(z.object({ lineId: z.string(), quantity: z.string() })) })
  .transform((typed) => ({
    ...typed,
    lines: typed.lines.filter(({ quantity }) => !/^\s*0*([.,]0*)?\s*$/.test(quantity)),
  }))
  .pipe(creditInvoiceSchema)

/** Which lines to take back and how much of each; makes the draft of a credit note. */
export function CreditForm({ businessId, invoiceId, lines, act }: Props) {
  const router = useRouter()
  const open = lines.filter((line) => Number(line.creditable) > 0)
  const form = useForm({
    resolver: zodResolver(typedSchema),
    defaultValues: {
      id: newId(),
      businessId,
      invoiceId,
      reason: '',
      lines: open.map((line) => ({ lineId: line.id, quantity: line.creditable })),
    },
  })
  const { submit, field, isSubmitting, problems } = useSend(form, {
    act,
    after: (made: { invoiceId: string }) => router.push(`/money/${made.invoiceId}`),
  })
  if (open.length === 0) return <p className="soft">All of it is credited.</p>
  return (
    <form onSubmit={submit} noValidate>
      <ErrorSummary errors={problems(FORM)} />
      <Field {...field('reason', FORM)} label="Why" hint="The client reads it on the credit note." />
      {open.map((line, index) => (
        <Field
          key={line.id}
          {...field(`lines.${index}.quantity`, FORM)}
          label={line.description}
          hint={`Up to ${line.creditable}${line.unit === '' ? '' : ` ${line.unit}`}; 0 leaves it as it is.`}
          inputMode="decimal"
          className="n"
        />
      ))}
      <div className="form-actions">
        <SubmitButton plain pending={isSubmitting}>
          Draft a credit note
        </SubmitButton>
      </div>
    </form>
  )
}
