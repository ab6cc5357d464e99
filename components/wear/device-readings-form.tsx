import { NumberField, SelectField } from '@/components/forms'
import { DateWords, Sheet } from '@/components/paper'
import { VisitForm } from '@/components/visits'
import type { FormAction } from '@/lib/office/frame/schema'

type Asked = {
  equipmentId: string
  label: string
  quantity: string
  name: string
  units: readonly string[]
  hint: string
  /** Two figures: what goes in and what comes out. */
  isInOut: boolean
  last: string
  lastOn: string
  said: string
}
type Props = {
  asked: readonly Asked[]
  action: FormAction
  visitId: string
  locale: string
}

/** Figures that show how devices of this tank wear. Nothing is shown where none has such a figure. */
export function DeviceReadingsForm({ asked, action, visitId, locale }: Props) {
  if (asked.length === 0) return null
  return (
    <Sheet title="Measure what wears">
      <VisitForm action={action} kind="visit.device-readings" visitId={visitId} submit="Record these figures" big>
        {asked.map(({ equipmentId, label, quantity, name, units, hint, isInOut, last, lastOn, said }) => {
          const at = `${equipmentId}|${quantity}`
          const unit = units[0] ?? ''
          return (
            <section key={at}>
              <h3>
                {label}: {name.charAt(0).toLowerCase() + name.slice(1)}
              </h3>
              <p className="soft small">
                {hint}
                {last && (
                  <>
                    {' '}
                    Last: {last} on <DateWords date={lastOn} style="date" locale={locale} />.
                  </>
                )}
                {said && (
                  <>
                    <br />
                    <b>Recorded: {said}.</b> Type again to change it.
                  </>
                )}
              </p>
              {isInOut ? (
                <>
                  <NumberField name={`into|${at}`} label="Goes in" />
                  <NumberField name={`device|${at}`} label="Comes out" />
                  <SelectField
                    name={`unit|${at}`}
                    label="Both in"
                    options={units.map((one) => ({ value: one, label: one }))}
                  />
                </>
              ) : (
                <>
                  <NumberField name={`device|${at}`} label={name} unit={unit} />
                  <input type="hidden" name={`unit|${at}`} value={unit} />
                </>
              )}
            </section>
          )
        })}
        <p className="soft">Blank is not measured.</p>
      </VisitForm>
    </Sheet>
  )
}
