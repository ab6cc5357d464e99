import { notFound } from 'next/navigation'
import { z } from 'zod'
import { CallForm } from '@/components/calls'
import { ButtonLink, Caution, DateWords, Facts, Notice, PhoneLink, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { type CallPage, callPage } from '@/lib/office/calls/queries'
import { OTHER_SIGN } from '@/lib/office/calls/schema'
import { mayDo } from '@/lib/office/frame/role-actions'
import { requireActor } from '@/lib/office/people/session'
import { logCallAction } from '../actions'

export const metadata = { title: 'Somebody rings' }

const query = z.object({ sign: z.string().max(60).optional().catch(undefined) })

type Props = {
  params: Promise<{ tankId: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function CallPageOfTank({ params, searchParams }: Props) {
  const actor = await requireActor('register.read')
  const tankId = z.uuid().safeParse((await params).tankId)
  const call = tankId.success ? await callPage(actor, tankId.data) : null
  if (!call) notFound()
  const { sign } = query.parse(await searchParams)
  const chosen = call.scripts.find(({ slug }) => slug === sign) ?? null
  const isOther = sign === OTHER_SIGN
  const facts = [
    [call.isolatorWords, call.isolator],
    ['Shut-offs', call.shutOffs],
    ['Animals that can hurt', call.dangerousAnimals],
    ['About the tank', call.note],
    ['Hangs on the tank', call.devices.map(({ name }) => name).join(', ')],
    ['Where', call.address],
    ['How to get in', call.accessNote],
  ].flatMap(([term = '', value = '']) => (value ? [{ term, value }] : []))
  return (
    <>
      <PageHead
        over={[...new Set([call.clientName, call.siteName])].join(', ')}
        title={call.name}
        sub={<a href="/calls">Another tank</a>}
      />
      <Sheet title="First, whatever they say" tone="call">
        {call.first.map((words) => (
          <Caution key={words}>{words}</Caution>
        ))}
      </Sheet>
      {(chosen || isOther) && (
        <Sheet title={chosen ? `Tell them: ${chosen.says}` : 'Something else'}>
          {chosen && <Told script={chosen} />}
          <CallForm
            businessId={call.businessId}
            tankId={call.tankId}
            sign={chosen?.slug ?? OTHER_SIGN}
            told={chosen ? chosen.tell.join('\n') : ''}
            goes={chosen ? chosen.verdict === 'go' : null}
            action={logCallAction}
          />
        </Sheet>
      )}
      <Sheet title={sign === undefined ? 'They say' : 'They say something else'}>
        <div className="cause-answers">
          {call.scripts.map(({ slug, says }) => (
            <a
              key={slug}
              className="button"
              href={`/calls/${call.tankId}?sign=${slug}`}
              aria-current={slug === sign ? 'true' : undefined}
            >
              {says}
            </a>
          ))}
          <a
            className="button"
            href={`/calls/${call.tankId}?sign=${OTHER_SIGN}`}
            aria-current={isOther ? 'true' : undefined}
          >
            Something else
          </a>
        </div>
      </Sheet>
      <Sheet title="The tank">
        <Facts items={facts} />
        <LastVisit call={call} />
      </Sheet>
      <Sheet title="Ring them">
        {call.phones.length === 0 && <p className="soft">No telephone number is noted.</p>}
        {call.phones.map(({ id, name, role, phone }) => (
          <p key={id}>
            {name}
            {role && `, ${role}`} <PhoneLink phone={phone} />
          </p>
        ))}
      </Sheet>
      {call.calls.length > 0 && (
        <Sheet title="Calls before">
          <ul className="visit-list">
            {call.calls.map(({ id, at, sign: words, said, told, person, goes }) => (
              <li key={id}>
                <b>
                  <DateWords date={at} style="moment" timeZone={call.timeZone} locale={call.locale} />
                  {words && `: ${words}`}
                </b>{' '}
                {said && <>“{said}” </>}
                <span className="soft">
                  {person} told them: {told}
                </span>{' '}
                {goes ? 'Somebody goes.' : 'It can wait.'}
              </li>
            ))}
          </ul>
        </Sheet>
      )}
      <p className="visit-next">
        {mayDo(actor.roles, 'plan.change') && (
          <ButtonLink
            href={`/plan/book?${new URLSearchParams({ tank: call.tankId, kind: 'call_out', for: chosen?.says ?? '' })}`}
          >
            Book a visit
          </ButtonLink>
        )}{' '}
        <ButtonLink href={`/visits/new?tank=${call.tankId}`}>I am there now</ButtonLink>
      </p>
    </>
  )
}

function Told({ script }: { script: CallPage['scripts'][number] }) {
  return (
    <>
      <ol>
        {script.tell.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ol>
      <Notice title={script.verdict === 'go' ? 'Go' : 'It can wait'}>{script.when.join(' ')}</Notice>
    </>
  )
}

function LastVisit({ call: { lastVisit, locale } }: { call: CallPage }) {
  if (!lastVisit) return <p className="soft">Nobody has been there yet.</p>
  const { id, on, technician, done, note, isUnderWay } = lastVisit
  return (
    <>
      <p>
        <a href={`/visits/${id}`}>{isUnderWay ? 'A visit is under way' : 'Last visit'}</a>{' '}
        <DateWords date={on} locale={locale} />
        {technician && `, ${technician}`}.{done.length > 0 && ` Done: ${done.join(', ')}.`}
      </p>
      {note && <p className="soft">{note}</p>}
    </>
  )
}
