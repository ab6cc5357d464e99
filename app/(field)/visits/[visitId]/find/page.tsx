import { z } from 'zod'
import { FindCause } from '@/components/causes'
import { Empty, Problem, Sheet } from '@/components/paper'
import { VisitFrame } from '@/components/visits'
import { signAtVisit, signsAtVisit } from '@/lib/office/causes/queries'
import { readMoves } from '@/lib/office/causes/schema'
import { addDays } from '@/lib/office/frame/days'
import { readVisit } from '../read-visit'
import { foundCauseAction } from './actions'

export const metadata = { title: 'Find the cause' }

const query = z.object({
  sign: z.string().max(60).optional().catch(undefined),
  device: z.uuid().optional().catch(undefined),
  moves: z.string().max(20_000).optional().catch(undefined),
})

type Props = {
  params: Promise<{ visitId: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function FindPage({ params, searchParams }: Props) {
  const { actor, visit } = await readVisit(params)
  const { visitId, businessId, today } = visit
  const { sign, device = '', moves } = query.parse(await searchParams)
  if (visit.state === 'done')
    return (
      <VisitFrame {...visit} step="/look">
        <Problem title="This visit is over.">A cause can be searched for at a visit that is under way.</Problem>
      </VisitFrame>
    )
  const page = sign === undefined ? null : await signAtVisit(actor, { visitId, sign, equipmentId: device })
  if (page)
    return (
      <VisitFrame {...visit} step="/look">
        <h2>{page.view.words}</h2>
        <FindCause
          {...{ visitId, businessId, today }}
          equipmentId={page.equipmentId}
          sign={page.view}
          model={page.model}
          kept={readMoves(moves)}
          followUpOn={addDays(today, page.view.lookAgainDays)}
          action={foundCauseAction}
        />
        <p>
          <a href={`/visits/${visitId}/find`}>Another sign</a>
        </p>
      </VisitFrame>
    )
  const listed = await signsAtVisit(actor, visitId)
  const signs = listed?.signs ?? []
  return (
    <VisitFrame {...visit} step="/look">
      <Sheet title="What do you see?">
        {signs.length === 0 ? (
          <Empty title="No signs are known for this kind of tank">Record what you see under Look.</Empty>
        ) : (
          <ul className="visit-list">
            {signs.map((one) => (
              <li key={`${one.sign} ${one.equipmentId}`}>
                <a
                  className="sign-link"
                  href={`/visits/${visitId}/find?sign=${one.sign}${one.device === '' ? '' : `&device=${one.equipmentId}`}`}
                >
                  {one.words}
                  {one.device !== '' && <span className="soft"> ({one.device})</span>}
                </a>
              </li>
            ))}
          </ul>
        )}
      </Sheet>
    </VisitFrame>
  )
}
