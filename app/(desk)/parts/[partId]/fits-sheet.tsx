import { Form } from '@/components/forms'
import { Empty, Sheet } from '@/components/paper'
import { inSentence } from '@/components/paper/in-sentence'
import { FitForm } from '@/components/parts'
import { addFitAction, removeFitAction } from '../actions'
import type { PartView } from './part-views'

/** Which work uses the part: what the forecast stands on. */
export function FitsSheet({ part }: { part: PartView }) {
  return (
    <Sheet title="What uses it">
      {part.fits.length === 0 && (
        <Empty title="No work uses it yet">
          <p>Until then only what was used before says how many will be needed.</p>
        </Empty>
      )}
      <ul className="visit-list">
        {part.fits.map(({ id, taskName, className, device, quantity }) => (
          <li key={id}>
            {taskName}: {quantity} each time, {device ?? `on every ${inSentence(className)}`}
            <details>
              <summary className="small">Not so</summary>
              <Form
                name="fit.remove"
                action={removeFitAction}
                hidden={{ fitId: id }}
                submit="Take it out of this list"
                plain
              />
            </details>
          </li>
        ))}
      </ul>
      <details open={part.fits.length === 0}>
        <summary>Add work that uses it</summary>
        <FitForm action={addFitAction} partId={part.partId} tasks={part.tasks} devices={part.devices} />
      </details>
    </Sheet>
  )
}
