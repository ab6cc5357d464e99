import type { Metadata } from 'next'
import { z } from 'zod'
import { DaySheet, PlanForm, TankFacts, TanksFound } from '@/components/booking'
import { Field } from '@/components/forms'
import { ButtonLink, Problem, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { type BookingPage, bookingPage } from '@/lib/office/booking/queries'
import { VISIT_KINDS } from '@/lib/office/booking/schema'
import { closedWords } from '@/lib/office/clients/access-windows'
import { requireActor } from '@/lib/office/people/session'
import { bookFromRequestAction, bookVisitAction } from '../actions'

export const metadata: Metadata = { title: 'Book a visit' }

const optionalId = z.uuid().optional().catch(undefined)
const query = z.object({
  search: z.string().trim().max(80).catch(''),
  tank: optionalId,
  request: optionalId,
  date: z.iso.date().optional().catch(undefined),
  /** Blank: nobody yet, and that was chosen. */
  technician: z
    .union([z.literal(''), z.uuid()])
    .optional()
    .catch(undefined),
  kind: z.enum(VISIT_KINDS).optional().catch(undefined),
  for: z.string().trim().max(1000).catch(''),
})
type Query = z.output<typeof query>

const DEFAULT_MINUTES = 45

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function BookPage({ searchParams }: Props) {
  const actor = await requireActor('plan.change')
  const asked = query.parse(await searchParams)
  const page = await bookingPage(actor, {
    search: asked.search,
    tankId: asked.tank,
    requestId: asked.request,
    date: asked.date,
    technicianId: asked.technician,
  })
  if (!page.tank) return <ChooseTank asked={asked} page={page} />
  return <Book asked={asked} page={page} tank={page.tank} />
}

function ChooseTank({ asked, page }: { asked: Query; page: BookingPage }) {
  const isGone = asked.tank !== undefined || asked.request !== undefined
  const href = (tank: string) =>
    `/plan/book?${new URLSearchParams({ tank, ...(asked.date ? { date: asked.date } : {}), ...(asked.technician ? { technician: asked.technician } : {}) })}`
  return (
    <>
      <PageHead title="Book a visit" over="Plan" />
      {isGone && (
        <Problem>
          {asked.request
            ? 'This request is already booked or answered.'
            : 'This tank is not in care any more. Choose another.'}
        </Problem>
      )}
      <FilterForm action="/plan/book" label="Find a tank" submitWords="Find">
        <Field label="Tank, site, client or place" name="search" type="search" defaultValue={asked.search} />
        {asked.date && <input type="hidden" name="date" value={asked.date} />}
        {asked.technician && <input type="hidden" name="technician" value={asked.technician} />}
      </FilterForm>
      <TanksFound rows={page.found} search={asked.search} href={href} locale={page.locale} />
    </>
  )
}

type BookProps = { asked: Query; page: BookingPage; tank: NonNullable<BookingPage['tank']> }

function Book({ asked, page, tank }: BookProps) {
  const { request, day, locale } = page
  const closed = closedWords(tank.openTimes, { date: asked.date ?? page.today, start: '', end: '' })
  return (
    <>
      <PageHead
        title={`${tank.name}, ${tank.siteName}`}
        over={request ? 'Book what was asked for' : 'Book a visit'}
        sub={request ? `${request.clientName} asked: “${request.words}”` : undefined}
        actions={
          <ButtonLink href={request ? '/plan/requests' : '/plan/book'}>
            {request ? 'Requests' : 'Another tank'}
          </ButtonLink>
        }
      />
      {closed !== null && <Problem title="Nobody lets us in then">{closed}</Problem>}
      <div className="wide-narrow">
        <Sheet title="When and by whom">
          <PlanForm
            name={request ? 'request.book' : 'visit.book'}
            action={request ? bookFromRequestAction : bookVisitAction}
            submit="Book it"
            hidden={request ? { requestId: request.id } : { tankId: tank.id }}
            values={{
              kind: asked.kind ?? (request || !tank.agreement ? 'call_out' : 'routine'),
              date: asked.date ?? page.today,
              windowStart: '',
              windowEnd: '',
              technicianId: asked.technician ?? day?.technicianId ?? '',
              plannedStart: '',
              plannedMinutes: String(tank.agreement?.visitMinutes ?? DEFAULT_MINUTES),
              whatFor: asked.for || request?.words || '',
            }}
            technicians={page.technicians}
            address={{ path: '/plan/book', params: request ? { request: request.id } : { tank: tank.id } }}
            withAnswer={request !== null}
          />
        </Sheet>
        <div className="stack">
          <DaySheet day={day} locale={locale} />
          <TankFacts tank={tank} locale={locale} />
        </div>
      </div>
    </>
  )
}
