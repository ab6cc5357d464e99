import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { AgreementForm, EndAgreementForm } from '@/components/tanks'
import { requireActor } from '@/lib/office/people/session'
import { findAgreementForm } from '@/lib/office/tanks/queries'
import { addAgreementAction, changeAgreementAction, endAgreementAction } from '../../actions'

export const metadata: Metadata = { title: 'Agreement' }

export default async function AgreementPage({ params }: { params: Promise<{ tankId: string }> }) {
  const actor = await requireActor('register.change')
  const tankId = z.uuid().safeParse((await params).tankId)
  const form = tankId.success ? await findAgreementForm(actor, tankId.data) : null
  if (!form) notFound()
  const { current, fields, technicians, tank } = form
  return (
    <>
      <PageHead over={tank.name} title={current ? 'Change the agreement' : 'Make an agreement'} />
      <Sheet>
        <AgreementForm
          action={current ? changeAgreementAction : addAgreementAction}
          fields={fields}
          technicians={technicians}
          changes={current !== null}
        />
      </Sheet>
      {current && current.endsOn === null && (
        <Sheet title="Or end it">
          <EndAgreementForm
            tankId={tank.id}
            action={endAgreementAction}
            agreementId={current.id}
            today={fields.startsOn}
          />
        </Sheet>
      )}
    </>
  )
}
