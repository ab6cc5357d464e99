import { Field, Form } from '@/components/forms'
import { Empty, Sheet } from '@/components/paper'
import { inSentence } from '@/components/paper/in-sentence'
import { FitForm } from '@/components/parts'
import { FilterForm } from '@/components/tables'
import { addFitAction, removeFitAction } from '../actions'
import type { PartView } from './part-views'

/** Which work uses the part: what the forecast stands on. */
export function FitsSheet({ part }: { part: PartView }) {
  const { partId, fits, tasks, asked, deviceChoices, areMoreDevices } = part
  const isLooking = asked.device !== ''
  return (
    <Sheet title="What uses it" id="uses">
      {fits.length === 0 && (
        <Empty title="No work uses it yet">
          <p>Until then only what was used before says how many will be needed.</p>
        </Empty>
      )}
      <ul className="visit-list">
        {fits.map(({ id, taskName, className, device, quantity }) => (
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
      <details open={fits.length === 0 || isLooking}>
        <summary>Add work that uses it</summary>
        {(areMoreDevices || isLooking) && (
          <FilterForm
            action={`/parts/${partId}#uses`}
            label="Find one device"
            submitWords="Find"
            {...(isLooking ? { clearHref: `/parts/${partId}` } : {})}
          >
            <Field
              name="device"
              type="search"
              label="Part of the name of the tank, the site or the device"
              hint={foundWords(part)}
              defaultValue={asked.device}
            />
          </FilterForm>
        )}
        <FitForm action={addFitAction} {...{ partId, tasks }} devices={deviceChoices} />
      </details>
    </Sheet>
  )
}

function foundWords({ asked, deviceChoices, areMoreDevices }: PartView): string {
  if (asked.device === '') return 'Only for work on one device. Then choose the device below.'
  if (deviceChoices.length === 0) return 'No device has this in its name.'
  const found = deviceChoices.length === 1 ? '1 device is' : `${deviceChoices.length} devices are`
  return `${found} offered below.${areMoreDevices ? ' There are more: write more of the name.' : ''}`
}
