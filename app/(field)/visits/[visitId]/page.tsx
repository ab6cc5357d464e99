import { visitCommandAction } from '@/app/(field)/visits/actions'
import { Field, NumberField, TextAreaField } from '@/components/forms'
import { DateWords, Facts, Notice, PhoneLink, Sheet } from '@/components/paper'
import { Cautions, OUTCOME_WORDS, VisitForm, VisitFrame } from '@/components/visits'
import { VisitSummary } from '@/components/visits/summary'
import { readVisit } from './read-visit'

export const metadata = { title: 'Arrive' }

export default async function ArrivePage({ params }: { params: Promise<{ visitId: string }> }) {
  const { visit } = await readVisit(params)
  const { arrive, record, timeZone, locale } = visit
  const isOver = visit.state === 'done'
  const time = (date: string) => <DateWords date={date} style="time" timeZone={timeZone} locale={locale} />
  const facts = [
    ['Where', visit.address],
    ['How to get in', arrive.accessNote],
    [arrive.isolatorWords, arrive.isolator],
    ['Shut-offs', arrive.shutOffs],
    ['About the tank', arrive.tankNote],
    ['Faults there when we took it on', arrive.faultsAtTakeover],
    ['What for', visit.whatFor],
    ['Between', visit.windowWords],
  ].flatMap(([term, value]) => (value ? [{ term, value }] : []))
  return (
    <VisitFrame {...visit} step="">
      {isOver && (
        <Notice title={record.outcome ? `This visit is over: ${OUTCOME_WORDS[record.outcome]}` : 'This visit is over'}>
          {record.leftAt && <>Left {time(record.leftAt)}</>}
          {record.leftAt && record.minutes !== null && ', '}
          {record.minutes !== null && `${record.minutes} ${record.minutes === 1 ? 'minute' : 'minutes'}`}
          {record.reason && `. ${record.reason}`}
        </Notice>
      )}
      {isOver && <VisitSummary visit={visit} action={visitCommandAction} />}
      {arrive.dangerousAnimals && (
        <Sheet title="Animals that can hurt you" tone="call">
          <p>{arrive.dangerousAnimals}</p>
          <Cautions texts={visit.cautions.arrive} local="Local emergency numbers and a doctor’s word go first." />
        </Sheet>
      )}
      <Sheet title="Before you go in">
        {facts.length > 0 ? <Facts items={facts} /> : <p className="soft">Nothing is noted about getting in.</p>}
        {arrive.contacts.map(({ id, name, role, phone }) => (
          <p key={id}>
            {name}
            {role && `, ${role}`} {phone && <PhoneLink phone={phone} />}
          </p>
        ))}
      </Sheet>
      <Sheet title="Since last time">
        {arrive.lastVisitOn && (
          <p className="soft">
            Last visit <DateWords date={arrive.lastVisitOn} locale={locale} today={visit.today} />.
          </p>
        )}
        {arrive.remarks.map(({ id, words, on }) => (
          <p key={id}>
            “{words}” <span className="soft">the client, </span>
            <DateWords date={on} locale={locale} today={visit.today} />
          </p>
        ))}
        {arrive.calls.map(({ id, said, told, person, on }) => (
          <p key={id}>
            They rang <DateWords date={on} locale={locale} today={visit.today} />: {said}{' '}
            <span className="soft">
              {person} told them: {told}
            </span>
          </p>
        ))}
        {arrive.lastNote && <p>{arrive.lastNote}</p>}
        {arrive.remarks.length + arrive.calls.length === 0 && !arrive.lastNote && (
          <p className="soft">Nothing was said since.</p>
        )}
        {arrive.promises.length > 0 && <h3>Promised and open</h3>}
        <ul className="visit-list">
          {arrive.promises.map(({ id, what, dueOn }) => (
            <li key={id}>
              <p>
                {what}, by <DateWords date={dueOn} locale={locale} today={visit.today} />
              </p>
              <VisitForm
                action={visitCommandAction}
                kind="visit.promise-kept"
                visitId={visit.visitId}
                submit="Done"
                plain
                hidden={{ followUpId: id }}
              >
                <Field name="note" label="What came of it" />
              </VisitForm>
            </li>
          ))}
        </ul>
      </Sheet>
      {record.arrivedAt === null && !isOver && (
        <div className="visit-next">
          <VisitForm
            action={visitCommandAction}
            kind="visit.arrive"
            visitId={visit.visitId}
            submit="I am here"
            big
            next="/look"
          />
          <details>
            <summary>Can’t get in</summary>
            <VisitForm
              action={visitCommandAction}
              kind="visit.no-access"
              visitId={visit.visitId}
              submit="No access: end the visit"
              plain
              next=""
            >
              <TextAreaField name="reason" label="What kept you out?" rows={2} />
              <NumberField name="minutes" whole label="Minutes spent (optional)" />
            </VisitForm>
          </details>
        </div>
      )}
      {record.arrivedAt !== null && !isOver && <p className="soft visit-next">Here since {time(record.arrivedAt)}.</p>}
      {!isOver && <VisitSummary visit={visit} action={visitCommandAction} />}
    </VisitFrame>
  )
}
