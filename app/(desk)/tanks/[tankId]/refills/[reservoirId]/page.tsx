import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { ReadingsChart } from '@/components/charts'
import { Step } from '@/components/forms'
import { ButtonLink, DateWords, Empty, Facts, Notice, quantityWords, Sheet, Why } from '@/components/paper'
import { LevelForm, ReservoirForm, withoutLabel } from '@/components/refills'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { Cautions } from '@/components/visits'
import { mayDo } from '@/lib/office/frame/role-actions'
import { requireActor } from '@/lib/office/people/session'
import { findReservoir, type ReservoirPage } from '@/lib/office/refills/queries'
import {
  archiveReservoirAction,
  correctLevelAction,
  editReservoirAction,
  recordLevelAction,
  restoreReservoirAction,
} from '../actions'

export const metadata: Metadata = { title: 'A container' }

const ids = z.object({ tankId: z.uuid(), reservoirId: z.uuid() })
type Props = { params: Promise<{ tankId: string; reservoirId: string }> }

export default async function ReservoirPageOf({ params }: Props) {
  const actor = await requireActor('register.read')
  const asked = ids.safeParse(await params)
  const page = asked.success ? await findReservoir(actor, asked.data.tankId, asked.data.reservoirId) : null
  if (!page) notFound()
  const { tankId, id, label, unit, locale, isArchived } = page
  const mayChange = mayDo(actor.roles, 'register.change')
  const { kind, device, words, levels, cautions, devices, kinds } = page
  return (
    <>
      <PageHead
        over={page.tankName}
        title={label}
        sub={[page.kindName, device].filter(Boolean).join(', ')}
        actions={<ButtonLink href={`/tanks/${tankId}`}>The tank</ButtonLink>}
      />
      {isArchived && <Notice title="Archived">Nobody watches this container any more.</Notice>}
      <div className="stack">
        <Why>{withoutLabel(words, label)}</Why>
        <div className="wide-narrow">
          <div className="stack">
            <Sheet title="Levels">
              {levels.length === 0 ? (
                <Empty title="No level yet">The first comes with the next visit, or from somebody on site.</Empty>
              ) : (
                <ReadingsChart points={pointsOf(page)} unit={unit} label={label} locale={locale} />
              )}
              {levels.length > 0 && (
                <details>
                  <summary>Where each level comes from, and putting one right</summary>
                  <LevelTable page={page} />
                </details>
              )}
            </Sheet>
            {!isArchived && (
              <Sheet title="Somebody told a level">
                <p className="soft small">At a visit it is written down on the visit’s own page, under Work.</p>
                <Cautions texts={cautions} local="Local codes and licensed trades go first." />
                <LevelForm action={recordLevelAction} reservoirId={id} unit={unit} today={page.today} />
              </Sheet>
            )}
          </div>
          <div className="stack">
            <Sheet title="The container">
              <Facts items={factsOf(page)} />
            </Sheet>
            {mayChange && (
              <Sheet title="Put right what is written">
                <ReservoirForm
                  action={editReservoirAction}
                  {...{ tankId, kinds, devices }}
                  reservoir={{
                    id,
                    fields: {
                      ...{ kind, label, unit, equipmentId: page.equipmentId, filledBy: page.filledBy },
                      capacity: String(page.capacity),
                      emptyAt: String(page.emptyAt),
                    },
                  }}
                />
                <Step
                  name={isArchived ? 'reservoir.restore' : 'reservoir.archive'}
                  ask={isArchived ? 'Take out of the archive' : 'Archive this container'}
                  confirm={isArchived ? 'Yes, take it out' : 'Yes, archive'}
                  hidden={{ id }}
                  action={isArchived ? restoreReservoirAction : archiveReservoirAction}
                >
                  <p>What was written of it stays.</p>
                </Step>
              </Sheet>
            )}
          </div>
        </div>
      </div>
    </>
  )
}

/** Two points of one day make the upright line of a filling. */
function pointsOf({ levels }: ReservoirPage) {
  return levels.flatMap(({ on, before, after }) =>
    [before, after].flatMap((value) => (value === null ? [] : [{ date: on, value }])),
  )
}

function LevelTable({ page }: { page: ReservoirPage }) {
  const { levels, unit, locale } = page
  const figure = (value: number | null) => (value === null ? '' : quantityWords({ value, unit, locale }))
  return (
    <DataTable
      caption="Levels, newest first"
      captionHidden
      rows={levels.toReversed()}
      columns={[
        { key: 'day', header: 'Day', cell: (row) => <DateWords date={row.on} style="date" locale={locale} /> },
        { key: 'before', header: 'Found', numeric: true, cell: (row) => figure(row.before) },
        { key: 'after', header: 'Left', numeric: true, cell: (row) => figure(row.after) },
        {
          key: 'by',
          header: 'Written down',
          cell: (row) =>
            row.visitId === null ? (
              <details>
                <summary className="small">Correct</summary>
                <LevelForm
                  action={correctLevelAction}
                  {...{ unit, reservoirId: page.id, today: page.today }}
                  was={{ id: row.id, on: row.on, before: asTyped(row.before), after: asTyped(row.after) }}
                />
              </details>
            ) : (
              <PageLink href={`/visits/${row.visitId}/work`}>at a visit</PageLink>
            ),
        },
      ]}
    />
  )
}

const asTyped = (value: number | null) => (value === null ? '' : String(value))

function factsOf({ kindName, capacity, emptyAt, unit, filledBy, device, how, locale, kind }: ReservoirPage) {
  const figure = (value: number) => quantityWords({ value, unit, locale })
  return [
    { term: 'What is in it', value: kindName },
    { term: kind === 'gas' ? 'Weighs full' : 'Holds full', value: figure(capacity) },
    { term: kind === 'gas' ? 'Weighs empty' : 'Empty means', value: figure(emptyAt) },
    { term: 'Filled by', value: filledBy === 'technician' ? 'us' : 'the people on site' },
    ...(device ? [{ term: 'Feeds', value: device }] : []),
    ...(how === '' ? [] : [{ term: 'How it is read', value: how }]),
  ]
}
