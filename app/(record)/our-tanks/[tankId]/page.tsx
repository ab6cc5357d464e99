import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { AskForm, RecordVisit, WaterTable } from '@/components/client-record'
import { DateWords, Empty, Notice, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { type TankRecord, tankRecord } from '@/lib/office/client-record/queries'
import { requireActor } from '@/lib/office/people/session'
import { askForVisitAction } from '../actions'

export const metadata: Metadata = { title: 'Our tank' }

const STATE_WORDS = {
  open: 'We have it and will answer soon.',
  booked: 'A visit is planned.',
  answered: 'Answered.',
} as const

type Props = { params: Promise<{ tankId: string }>; searchParams: Promise<{ asked?: string | string[] }> }

export default async function TankRecordPage({ params, searchParams }: Props) {
  const actor = await requireActor('record.read')
  const tankId = z.uuid().safeParse((await params).tankId)
  const record = tankId.success ? await tankRecord(actor, tankId.data, new Date()) : null
  if (!record) notFound()
  const asked = (await searchParams).asked === '1'
  const { tank, locale } = record
  return (
    <div className="stack">
      <PageHead
        over={<PageLink href="/our-tanks">Our tanks</PageLink>}
        title={tank.name}
        sub={tank.isHeld ? tank.siteName : `${tank.siteName}: the record of your time with it`}
      />
      {record.last ? (
        <RecordVisit title="Last visit" visit={record.last} locale={locale} />
      ) : (
        <Empty title="Not visited yet">
          <p>After the first visit you read here what was done and how your animals are.</p>
        </Empty>
      )}
      <NextVisits record={record} />
      <WaterTable lines={record.water} locale={locale} />
      {tank.isHeld && (
        <Sheet title="Ask for a visit" id="asked">
          {asked && <Notice>Thank you. We have your words and will answer.</Notice>}
          <AskForm action={askForVisitAction} phone={record.phone} tankId={tank.id} />
          {record.requests.length > 0 && (
            <ul>
              {record.requests.map((request) => (
                <li key={request.id}>
                  <DateWords date={request.askedOn} style="short" locale={locale} />: “{request.words}”{' '}
                  <span className="soft">{request.answer || STATE_WORDS[request.state]}</span>
                </li>
              ))}
            </ul>
          )}
        </Sheet>
      )}
      <Earlier record={record} />
      <p>
        <PageLink href="/our-tanks/invoices">Invoices</PageLink>
      </p>
    </div>
  )
}

function NextVisits({ record }: { record: TankRecord }) {
  const { next, locale } = record
  if (!record.tank.isHeld) return null
  return (
    <Sheet title="Next visit">
      {next.length === 0 ? (
        <p className="soft">The next visit is not planned yet.</p>
      ) : (
        <ul>
          {next.map((visit) => (
            <li key={`${visit.date} ${visit.window}`}>
              <strong>
                <DateWords date={visit.date} style="day" locale={locale} />
              </strong>
              {visit.window && `, ${visit.window}`}
              {visit.technician && `, ${visit.technician}`}
              {visit.whatFor && <span className="soft">: {visit.whatFor}</span>}
            </li>
          ))}
        </ul>
      )}
    </Sheet>
  )
}

function Earlier({ record }: { record: TankRecord }) {
  if (record.earlier.length === 0) return null
  return (
    <Sheet title="Earlier visits">
      <ul>
        {record.earlier.map((visit) => (
          <li key={visit.visitId}>
            <PageLink href={`/our-tanks/${record.tank.id}/visits/${visit.visitId}`}>
              <DateWords date={visit.date} style="full" locale={record.locale} />
            </PageLink>
            {visit.minutes !== null && (
              <span className="soft">
                , {visit.minutes} {visit.minutes === 1 ? 'minute' : 'minutes'}
              </span>
            )}
          </li>
        ))}
      </ul>
    </Sheet>
  )
}
