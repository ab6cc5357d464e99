import { CheckField } from '@/components/forms'
import { Sheet } from '@/components/paper'
import { VisitForm } from '@/components/visits'
import type { FormAction } from '@/lib/office/frame/schema'

type VisitLot = { id: string; label: string; kindWords: string; usedHere: boolean; lastHere: boolean }
type Props = {
  lots: readonly VisitLot[]
  action: FormAction
  visitId: string
}

/** The lots that went into this tank at this visit. Those it had last time are ticked already: then it is one tap. */
export function VisitLots({ lots, action, visitId }: Props) {
  if (lots.length === 0) return null
  const used = lots.filter((lot) => lot.usedHere)
  const open = lots.filter((lot) => !lot.usedHere)
  return (
    <Sheet title="Lots used">
      {used.length > 0 && <p>Written down: {used.map((lot) => `${lot.kindWords} ${lot.label}`).join(', ')}.</p>}
      {open.length > 0 && (
        <VisitForm action={action} kind="visit.use-lots" visitId={visitId} submit="These went into this tank" plain>
          {open.map((lot) => (
            <CheckField
              key={lot.id}
              name="lotIds"
              value={lot.id}
              label={`${lot.kindWords}: ${lot.label}`}
              hint={lot.lastHere ? 'As last time here.' : undefined}
              defaultChecked={lot.lastHere && used.length === 0}
            />
          ))}
        </VisitForm>
      )}
    </Sheet>
  )
}
