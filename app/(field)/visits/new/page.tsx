import { notFound } from 'next/navigation'
import { z } from 'zod'
import { visitCommandAction } from '@/app/(field)/visits/actions'
import { ChoiceField, Field } from '@/components/forms'
import { ButtonLink, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { VisitForm } from '@/components/visits'
import { requireActor } from '@/lib/office/people/session'
import { findTankToVisit } from '@/lib/office/visits/queries'

const KINDS = [
  { value: 'routine', label: 'Routine' },
  { value: 'call_out', label: 'Call-out' },
  { value: 'installation', label: 'Installation' },
  { value: 'return_check', label: 'Return check' },
]

export const metadata = { title: 'Log a visit' }

export default async function NewVisitPage({ searchParams }: { searchParams: Promise<{ tank?: string | string[] }> }) {
  const actor = await requireActor('visit.log')
  const tankId = z.uuid().safeParse((await searchParams).tank)
  const tank = tankId.success ? await findTankToVisit(actor, tankId.data, new Date()) : null
  if (!tank) notFound()
  return (
    <>
      <PageHead over={`${tank.clientName}, ${tank.siteName}`} title={tank.tankName} sub="Log a visit" />
      {tank.planned && (
        <Sheet title="A visit is planned here today" tone="call">
          <ButtonLink href={`/visits/${tank.planned.id}`} go big>
            {tank.planned.state === 'booked' ? 'Open the planned visit' : 'Go on with it'}
          </ButtonLink>
        </Sheet>
      )}
      <Sheet title={tank.planned ? 'Or one that is not planned' : 'You are there now'}>
        <VisitForm
          action={visitCommandAction}
          kind="visit.start"
          visitId=""
          submit="I am here"
          big
          next="/look"
          hidden={{ tankId: tank.tankId }}
        >
          <ChoiceField name="visitKind" label="What kind of visit is it?" options={KINDS} />
          <Field name="whatFor" label="What for" />
        </VisitForm>
      </Sheet>
    </>
  )
}
