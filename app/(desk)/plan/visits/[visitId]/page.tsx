import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { CancelForm, DaySheet, PlanForm, spanWords, stateWords, TankFacts, timeWords } from '@/components/booking'
import { Form } from '@/components/forms'
import { ButtonLink, dateWords, Facts, Problem, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { type MovePage, movePage } from '@/lib/office/booking/queries'
import { VISIT_KIND_WORDS, VISIT_KINDS } from '@/lib/office/booking/schema'
import { closedWords } from '@/lib/office/clients/access-windows'
import { mayDo } from '@/lib/office/frame/role-actions'
import { requireActor } from '@/lib/office/people/session'
import { cancelVisitAction, moveVisitAction, setOutOfHoursAction } from '../../actions'

export const metadata: Metadata = { title: 'A planned visit' }

const query = z.object({
  date: z.iso.date().optional().catch(undefined),
  technician: z
    .union([z.literal(''), z.uuid()])
    .optional()
    .catch(undefined),
})

type Props = {
  params: Promise<{ visitId: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function PlannedVisitPage({ params, searchParams }: Props) {
  const actor = await requireActor('plan.read')
  const visitId = z.uuid().safeParse((await params).visitId)
  const asked = query.parse(await searchParams)
  const page = visitId.success
    ? await movePage(actor, visitId.data, { date: asked.date, technicianId: asked.technician })
    : null
  if (!page) notFound()
  const { visit, locale } = page
  const closed = visit.state === 'booked' && page.tank ? closedWords(page.tank.openTimes, visit) : null
  return (
    <>
      <PageHead
        title={`${visit.tankName}, ${visit.siteName}`}
        over={kindWords(visit.kind)}
        sub={`${dateWords({ date: visit.date, style: 'full', locale })}, ${timeWords(visit)}`}
        actions={
          <>
            {visit.state !== 'cancelled' && mayDo(actor.roles, 'visit.read') && (
              <ButtonLink href={`/visits/${visit.id}`} go={visit.state === 'booked'}>
                Open the visit
              </ButtonLink>
            )}
            {visit.state !== 'booked' && <ButtonLink href={`/plan/book?tank=${visit.tankId}`}>Book another</ButtonLink>}
          </>
        }
      />
      {closed !== null && <Problem title="Nobody lets us in then">{closed}</Problem>}
      <div className="wide-narrow">
        <div className="stack">
          <AsPlanned page={page} />
          <Sheet title="Out of hours">
            <Form
              name="visit.out-of-hours"
              action={setOutOfHoursAction}
              hidden={{ visitId: visit.id, outOfHours: visit.outOfHours ? 'false' : 'true' }}
              submit={visit.outOfHours ? 'It is within hours' : 'It is out of hours'}
              plain
            >
              <p>
                {visit.outOfHours
                  ? 'Billed at the price for visits out of hours, where the price list has one.'
                  : 'Within hours.'}
              </p>
            </Form>
          </Sheet>
          {visit.state === 'booked' && (
            <>
              <Sheet title="Move it">
                <PlanForm
                  name="visit.move"
                  action={moveVisitAction}
                  submit="Save the move"
                  hidden={{ visitId: visit.id }}
                  values={{
                    date: visit.date,
                    windowStart: visit.windowStart,
                    windowEnd: visit.windowEnd,
                    technicianId: visit.technicianId ?? '',
                    plannedStart: visit.start,
                    plannedMinutes: String(visit.plannedMinutes ?? page.tank?.agreement?.visitMinutes ?? ''),
                    whatFor: visit.whatFor,
                  }}
                  technicians={page.technicians}
                  address={{ path: `/plan/visits/${visit.id}`, params: {} }}
                />
              </Sheet>
              <Sheet title="Cancel it">
                <CancelForm action={cancelVisitAction} visitId={visit.id} />
              </Sheet>
            </>
          )}
        </div>
        <div className="stack">
          <DaySheet day={page.day} exceptVisitId={visit.id} locale={locale} />
          {page.tank && <TankFacts tank={page.tank} locale={locale} />}
        </div>
      </div>
    </>
  )
}

function AsPlanned({ page }: { page: MovePage }) {
  const { visit } = page
  const state = stateWords(visit)
  const who = page.technicians.find(({ id }) => id === visit.technicianId)?.name
  return (
    <Sheet title="As planned">
      <Facts
        items={[
          {
            term: 'Who goes',
            value: who ?? (visit.technicianId === null ? 'nobody yet' : 'somebody who has left since'),
          },
          {
            term: 'Promised',
            value: visit.windowStart === '' ? 'nothing about the hour' : `${visit.windowStart}–${visit.windowEnd}`,
          },
          ...(visit.plannedMinutes === null ? [] : [{ term: 'Takes', value: spanWords(visit.plannedMinutes) }]),
          ...(visit.whatFor === '' ? [] : [{ term: 'What for', value: visit.whatFor }]),
          ...(state === '' ? [] : [{ term: 'Now', value: state }]),
          ...(page.cancelledReason === '' ? [] : [{ term: 'Cancelled because', value: page.cancelledReason }]),
        ]}
      />
    </Sheet>
  )
}

function kindWords(kind: string): string {
  const known = VISIT_KINDS.find((candidate) => candidate === kind)
  return known ? VISIT_KIND_WORDS[known] : 'A visit'
}
