import type { Metadata } from 'next'
import { z } from 'zod'
import { MeanCountChart } from '@/components/charts'
import { FaultsTabs } from '@/components/faults'
import { Field, SelectField, SubmitButton } from '@/components/forms'
import { Awaited, Sheet, Why } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { needsOverTime } from '@/lib/office/faults/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Needs over time' }

const querySchema = z.object({
  class: z.string().min(1).max(200).optional().catch(undefined),
  tank: z.uuid().optional().catch(undefined),
  q: z.string().max(100).catch('').default(''),
})
type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function NeedsOverTimePage({ searchParams }: Props) {
  const actor = await requireActor('faults.read')
  const asked = querySchema.parse(await searchParams)
  const of = {
    ...(asked.class && { equipmentClass: asked.class }),
    ...(asked.tank && { tankId: asked.tank }),
    search: asked.q,
  }
  const shown = await needsOverTime(actor, of, new Date())
  const what = shown.className ?? 'All equipment'
  return (
    <div className="stack">
      <PageHead
        title="Needs over time"
        over="Repeat faults"
        sub="How many needs a tank has shown so far: the mean of the route, and one tank beside it."
      />
      <FaultsTabs current="/repeat-faults/over-time" />
      {shown.isAwaited && <Awaited />}
      <Sheet title={shown.tankName ? `${what}, with ${shown.tankName}` : what}>
        <MeanCountChart
          mean={shown.mean}
          own={shown.own}
          label="Needs"
          meanWords={`mean of ${shown.tanks} ${shown.tanks === 1 ? 'tank' : 'tanks'}`}
          ownWords={shown.tankName ?? 'this tank'}
          to={shown.today}
        />
        <form method="get">
          <SelectField
            name="class"
            label="Of which equipment"
            placeholder="All equipment"
            options={shown.classes}
            defaultValue={asked.class ?? ''}
          />
          <SelectField
            name="tank"
            label="Beside it"
            placeholder="No tank"
            options={shown.tankChoices.choices}
            defaultValue={asked.tank ?? ''}
          />
          {(shown.tankChoices.more > 0 || asked.q !== '') && (
            <Field label="Words of the tank’s or client’s name" name="q" type="search" defaultValue={asked.q} />
          )}
          <div className="form-actions">
            <SubmitButton plain>Show</SubmitButton>
          </div>
        </form>
      </Sheet>
      <Why tone="quiet">
        A steeper line means that needs come faster. A tank counts from its first renewal or look to its last look; the
        mean is of the tanks watched at that time, and assumes nothing about how needs come (Nelson’s mean cumulative
        function; band after Lawless and Nadeau).
      </Why>
    </div>
  )
}
