import { Empty, Sheet } from '@/components/paper'
import { inSentence } from '@/components/paper/in-sentence'
import { FitForm } from '@/components/parts'
import { PostForm } from '@/components/people'
import { addFitAction, removeFitAction } from '../actions'
import type { HiddenOf, PartView } from './part-views'

/** Which work uses the part: what the forecast stands on. */
export function FitsSheet({ part, hidden }: { part: PartView; hidden: HiddenOf }) {
  const added = hidden()
  return (
    <Sheet title="What uses it">
      {part.fits.length === 0 && (
        <Empty title="No work uses it yet">
          <p>Until then only what was used before says how many will be needed.</p>
        </Empty>
      )}
      <ul className="visit-list">
        {part.fits.map(({ id, taskName, className, device, quantity }) => {
          const own = hidden({ fitId: id })
          return (
            <li key={id}>
              {taskName}: {quantity} each time, {device ?? `on every ${inSentence(className)}`}
              <details>
                <summary className="small">Not so</summary>
                <PostForm
                  key={own.commandId}
                  action={removeFitAction}
                  hidden={own}
                  submit="Take it out of this list"
                  plain
                />
              </details>
            </li>
          )
        })}
      </ul>
      <details open={part.fits.length === 0}>
        <summary>Add work that uses it</summary>
        <FitForm key={added.commandId} action={addFitAction} hidden={added} tasks={part.tasks} devices={part.devices} />
      </details>
    </Sheet>
  )
}
