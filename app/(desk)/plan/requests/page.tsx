import type { Metadata } from 'next'
import { AnsweredRequests, AnswerForm, OpenRequests } from '@/components/booking'
import { Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { requests } from '@/lib/office/booking/queries'
import { requireActor } from '@/lib/office/people/session'
import { answerRequestAction } from '../actions'

export const metadata: Metadata = { title: 'Requests' }

export default async function RequestsPage() {
  const actor = await requireActor('plan.read')
  const { open, answered, locale, timeZone } = await requests(actor)
  return (
    <>
      <PageHead title="Requests" over="Plan" sub="What clients ask for. Each becomes a visit, or gets an answer." />
      <div className="stack">
        <Sheet title="Waiting" {...(open.length > 0 ? { tone: 'call' as const } : {})}>
          <OpenRequests
            rows={open}
            locale={locale}
            timeZone={timeZone}
            answer={(requestId) => <AnswerForm action={answerRequestAction} requestId={requestId} />}
          />
        </Sheet>
        <Sheet title="Dealt with">
          <AnsweredRequests rows={answered} locale={locale} timeZone={timeZone} />
        </Sheet>
      </div>
    </>
  )
}
