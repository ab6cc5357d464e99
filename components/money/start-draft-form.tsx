'use client'

import { zodResolver } from '@hookform/resolvers/zod'
import { useRouter } from 'next/navigation'
import { useForm } from 'react-hook-form'
import { ErrorSummary, SelectField, SubmitButton } from '@/components/forms'
import { newId } from '@/lib/new-id'
import { startDraftSchema } from '@/lib/office/money/schema'
import { type Act, useSend } from './use-send'

type Props = { businessId: string; clients: readonly { id: string; name: string }[]; act: Act<{ invoiceId: string }> }

/** An empty draft for what no visit and no part tells. */
export function StartDraftForm({ businessId, clients, act }: Props) {
  const router = useRouter()
  const form = useForm({
    resolver: zodResolver(startDraftSchema),
    defaultValues: { id: newId(), businessId, clientId: '' },
  })
  const { submit, field, isSubmitting, problems } = useSend(form, {
    act,
    after: ({ invoiceId }) => router.push(`/money/${invoiceId}`),
  })
  return (
    <form onSubmit={submit} noValidate>
      <ErrorSummary errors={problems('start')} />
      <SelectField
        {...field('clientId', 'start')}
        label="Who pays?"
        placeholder="Choose a client"
        options={clients.map(({ id, name }) => ({ value: id, label: name }))}
      />
      <div className="form-actions">
        <SubmitButton plain pending={isSubmitting}>
          Start an empty draft
        </SubmitButton>
      </div>
    </form>
  )
}
