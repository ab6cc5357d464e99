import type { Metadata } from 'next'
import { notFound, redirect } from 'next/navigation'
import { z } from 'zod'
import { Step } from '@/components/forms'
import { ButtonLink, Notice, Sheet } from '@/components/paper'
import { RefillSheet } from '@/components/refills'
import { PageHead } from '@/components/shell'
import {
  AgreementSheet,
  DeviceSheet,
  DueSheet,
  FindingSheet,
  FollowUpSheet,
  LaneSheet,
  PhotoSheet,
  PlaceSheet,
  TankFacts,
  tankSentence,
  VisitSheet,
  WaterSheet,
} from '@/components/tanks'
import { mayDo } from '@/lib/office/frame/role-actions'
import { requireActor } from '@/lib/office/people/session'
import { findTank } from '@/lib/office/tanks/queries'
import { archiveTankAction, restoreTankAction } from '../actions'

export const metadata: Metadata = { title: 'Tank' }

export default async function TankPage({ params }: { params: Promise<{ tankId: string }> }) {
  const actor = await requireActor('register.read')
  const tankId = z.uuid().safeParse((await params).tankId)
  const tank = tankId.success ? await findTank(actor, tankId.data) : null
  if (!tank) notFound()
  if (tank.mergedIntoId) redirect(`/tanks/${tank.mergedIntoId}`)
  const mayChange = mayDo(actor.roles, 'register.change')
  const { id, locale, today } = tank
  return (
    <>
      <PageHead
        title={`${tank.name}, ${tank.site.name}`}
        sub={tankSentence(tank)}
        actions={
          <>
            {tank.nextVisit !== null && (
              <ButtonLink href={`/visits/${tank.nextVisit.id}`} go>
                Next visit
              </ButtonLink>
            )}
            {!tank.isArchived && mayDo(actor.roles, 'visit.log') && (
              <ButtonLink href={`/visits/new?tank=${id}`}>Log a visit</ButtonLink>
            )}
            {!tank.isArchived && mayDo(actor.roles, 'plan.change') && (
              <ButtonLink href={`/plan/book?tank=${id}`}>Book a visit</ButtonLink>
            )}
            {mayChange && <ButtonLink href={`/tanks/${id}/edit`}>Change</ButtonLink>}
          </>
        }
      />
      {tank.isArchived && <Notice title="Archived">Nothing is planned for this tank.</Notice>}
      <div className="stack">
        <FollowUpSheet followUps={tank.followUps} locale={locale} today={today} />
        <LaneSheet lanes={tank.lanes} repeats={tank.repeats} tankId={id} today={today} locale={locale} />
        <div className="wide-narrow">
          <div className="stack">
            <DueSheet due={tank.due} nextVisitOn={tank.nextVisit?.on ?? null} today={today} locale={locale} />
            <RefillSheet tankId={id} refills={tank.refills} mayChange={mayChange} />
            <DeviceSheet tankId={id} devices={tank.devices} locale={locale} mayChange={mayChange} />
            <FindingSheet findings={tank.findings} locale={locale} />
            <VisitSheet visits={tank.visits} locale={locale} />
          </div>
          <div className="stack">
            <PlaceSheet {...tank} mayChange={mayChange} />
            <WaterSheet water={tank.water} locale={locale} />
            <AgreementSheet {...tank} tankId={id} mayChange={mayChange} />
            <Sheet title="The tank">
              <TankFacts tank={tank} />
            </Sheet>
          </div>
        </div>
        <PhotoSheet
          photos={tank.photos}
          hrefOf={(photoId) => `/api/photos/${photoId}`}
          allHref={mayChange ? `/tanks/${id}/photos` : undefined}
        />
        {mayChange && (
          <Sheet title="Put in order">
            <div className="actions">
              <ButtonLink href={`/tanks/${id}/hand-over`}>It goes to another client</ButtonLink>
              <ButtonLink href={`/tanks/merge?keep=${id}`}>Merge with another entry</ButtonLink>
              {tank.isArchived ? (
                <Step
                  ask="Take out of the archive"
                  confirm="Yes, take it out"
                  name="tank.restore"
                  hidden={{ id }}
                  action={restoreTankAction}
                >
                  <p>It can be planned again.</p>
                </Step>
              ) : (
                <Step
                  ask="Archive this tank"
                  confirm="Yes, archive"
                  name="tank.archive"
                  hidden={{ id }}
                  action={archiveTankAction}
                >
                  <p>It leaves the lists; everything that happened stays. It can be taken out again.</p>
                </Step>
              )}
            </div>
          </Sheet>
        )}
      </div>
    </>
  )
}
