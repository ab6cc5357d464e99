import type { Metadata } from 'next'
import { z } from 'zod'
import { everyWords } from '@/components/due/due-words'
import { WorkDueTabs } from '@/components/due/work-due-tabs'
import { AnswersSheet, answerWords, ProposalForm } from '@/components/intervals'
import { Empty, moneyWords, Notice, Sheet } from '@/components/paper'
import { inSentence } from '@/components/paper/in-sentence'
import { PageHead, PageLink } from '@/components/shell'
import { whyHref } from '@/lib/office/due/queries'
import { answersGiven } from '@/lib/office/intervals/answers'
import { type ProposalGroup, proposedIntervals } from '@/lib/office/intervals/queries'
import { requireActor } from '@/lib/office/people/session'
import { decideIntervalAction, takeBackAction } from './actions'

export const metadata: Metadata = { title: 'Intervals' }

const querySchema = z.object({ decided: z.uuid().optional().catch(undefined) })
type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function IntervalsPage({ searchParams }: Props) {
  const { decided } = querySchema.parse(await searchParams)
  const actor = await requireActor('due.change')
  const { groups, currency, locale, accepted } = await proposedIntervals(actor)
  const answers = await answersGiven(actor)
  const newest = answers.find(({ answerId }) => answerId === decided)
  const money = (minor: number) => moneyWords({ minor, currency, locale, whole: true })
  return (
    <div className="stack">
      <PageHead
        over="Work due"
        title="Intervals"
        sub="Suggested changes appear here. An interval stays as it is until you change it."
      />
      <WorkDueTabs current="/work-due/intervals" proposals={groups.length} mayDecide />
      {newest && (
        <Notice title="Decided.">
          {' '}
          {answerWords(newest)} {newest.decision === 'accepted' ? 'The due dates follow.' : 'The due dates stay.'}
        </Notice>
      )}
      {groups.length === 0 && (
        <Empty title="Nothing to decide">
          {accepted > 0
            ? 'The intervals you chose are as good as any that your records can tell.'
            : 'As visits are logged, intervals that would save money are proposed here. Until then the usual ones of the trade hold.'}
        </Empty>
      )}
      {groups.map((group) => (
        <Sheet key={`${group.careTask} ${group.formerDays} ${group.intervalDays}`} title={titleOf(group)}>
          <p>
            <strong>{changeWords(group)}</strong> would save about {money(group.saving.mean)} a year (
            {money(group.saving.lower)} to {money(group.saving.upper)}), {group.saving.certainty}.{' '}
            <WhyOfFirst group={group} />
          </p>
          <ProposalForm
            action={decideIntervalAction}
            hidden={{
              careTask: group.careTask,
              intervalDays: group.intervalDays === null ? '' : String(group.intervalDays),
              formerDays: group.formerDays === null ? '' : String(group.formerDays),
            }}
            devices={group.devices.map((device) => ({
              equipmentId: device.equipmentId,
              label: `${device.tankName}, ${device.clientName}: ${device.label}, ${money(device.savingMinor)} a year`,
            }))}
            accept={group.intervalDays === null ? 'Do it only when needed' : `Do it ${everyWords(group.intervalDays)}`}
            decline={`Leave it ${group.formerDays === null ? 'as it is' : `at ${everyWords(group.formerDays)}`}`}
          />
        </Sheet>
      ))}
      <AnswersSheet answers={answers} takeBack={takeBackAction} locale={locale} />
    </div>
  )
}

function titleOf({ taskName, className }: ProposalGroup): string {
  return `${className}: ${inSentence(taskName)}`
}

/** "Every 24 weeks instead of every 26 weeks at these 9 tanks". */
function changeWords({ intervalDays, formerDays, devices }: ProposalGroup): string {
  const words = `${everyWords(intervalDays)} instead of ${everyWords(formerDays)}`
  return `${words.charAt(0).toUpperCase()}${words.slice(1)} ${whereWords(devices)}`
}

function whereWords(devices: ProposalGroup['devices']): string {
  const tanks = new Set(devices.map(({ tankId }) => tankId)).size
  const inTanks = tanks === 1 ? 'at this tank' : `at these ${tanks} tanks`
  return devices.length === tanks ? inTanks : `on ${devices.length} devices ${inTanks}`
}

function WhyOfFirst({ group }: { group: ProposalGroup }) {
  const first = group.devices[0]
  if (!first) return null
  return (
    <PageLink className="why-link" href={whyHref(first.equipmentId, group.careTask)}>
      Why? For example {first.tankName}
    </PageLink>
  )
}
