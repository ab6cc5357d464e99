import { Field, NumberField, SelectField } from '@/components/forms'
import { Sheet } from '@/components/paper'
import type { FormAction } from '@/lib/office/frame/schema'
import { VisitForm } from './visit-form'

type Props = {
  action: FormAction
  visitId: string
  /** The business's own unit beside the share of the tank. */
  unit: { value: string; words: string }
  salinityUnits: readonly string[]
  /** What was changed at this visit so far. */
  done: readonly { id: string; words: string }[]
}

/** Water changed: how much, and of the new water what was measured. */
export function WaterChangeForm({ action, visitId, unit, salinityUnits, done }: Props) {
  return (
    <Sheet title="Water change">
      {done.map(({ id, words }) => (
        <p key={id}>
          <b className="ok">Changed: </b>
          {words}
        </p>
      ))}
      <VisitForm
        action={action}
        kind="visit.water-change"
        visitId={visitId}
        submit={done.length > 0 ? 'Changed once more' : 'Water changed'}
        plain
      >
        <div className="visit-reading">
          <NumberField name="amount" label="How much" />
          <SelectField
            name="unit"
            label="Unit"
            options={[
              { value: '%', label: '% of the tank' },
              { value: unit.value, label: unit.words },
            ]}
          />
        </div>
        <details>
          <summary>New water: salinity and temperature</summary>
          {salinityUnits.length > 0 && (
            <div className="visit-reading">
              <NumberField name="newSalinity" label="Salinity of the new water" />
              <SelectField
                name="newSalinityUnit"
                label="Unit"
                options={salinityUnits.map((name) => ({ value: name, label: name || 'no unit' }))}
              />
            </div>
          )}
          <Field name="newTemperatureC" label="Temperature of the new water, °C" inputMode="decimal" />
        </details>
      </VisitForm>
    </Sheet>
  )
}
