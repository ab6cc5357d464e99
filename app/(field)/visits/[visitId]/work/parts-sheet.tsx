import { visitCommandAction } from '@/app/(field)/visits/actions'
import { CheckField, Field, NumberField, SelectField } from '@/components/forms'
import { quantityWords, Sheet } from '@/components/paper'
import { VisitForm } from '@/components/visits'
import type { VisitPage } from '@/lib/office/visits/queries'

type Part = VisitPage['partChoices'][number]

/** Parts used: what the work done usually takes with one tap, then any part of the van, the price list or in words. */
export function PartsSheet({ visit }: { visit: VisitPage }) {
  const { record, priceItems, partChoices, partsToWriteDown, vanName } = visit
  const inWords = partChoices.length + priceItems.length > 0 ? 'Or in words' : 'What'
  return (
    <Sheet title="Parts off the van">
      <ul className="visit-list">
        {record.parts
          .filter(({ quantity }) => quantity > 0)
          .map(({ id, description, quantity, billable }) => (
            <li key={id}>
              {quantity} × {description}
              {!billable && <span className="soft"> (not charged)</span>}
            </li>
          ))}
      </ul>
      {partsToWriteDown.map(({ part, quantity }) => {
        return (
          <VisitForm
            key={part.partId}
            about={part.partId}
            action={visitCommandAction}
            kind="visit.use-part"
            visitId={visit.visitId}
            submit={`Used: ${amountOf(part, quantity)}`}
            hidden={{ part: choiceOf(part), quantity: String(quantity), billable: 'on' }}
          >
            <p className="soft">The work you did usually takes it; {onVanWords(part)}.</p>
          </VisitForm>
        )
      })}
      <VisitForm action={visitCommandAction} kind="visit.use-part" visitId={visit.visitId} submit="Add the part" plain>
        {partChoices.length > 0 && (
          <SelectField
            name="part"
            label={vanName === null ? 'From the list of parts' : `From ${vanName}`}
            placeholder="None of these"
            options={partChoices.map((part) => ({
              value: choiceOf(part),
              label: part.onVan === null ? part.name : `${part.name} (${onVanWords(part)})`,
            }))}
          />
        )}
        {priceItems.length > 0 && (
          <SelectField
            name="priceItem"
            label={partChoices.length > 0 ? 'Or from the price list' : 'From the price list'}
            placeholder="None of these"
            options={priceItems.map(({ id, name }) => ({ value: `${id}|${name}`, label: name }))}
          />
        )}
        <Field name="description" label={inWords} />
        <NumberField name="quantity" label="How many" />
        <CheckField name="billable" label="Charge it" defaultChecked />
      </VisitForm>
    </Sheet>
  )
}

/** What the form sends of a part: its id, its price and its name. */
const choiceOf = ({ partId, priceItemId, name }: Part) => `${partId}|${priceItemId ?? ''}|${name}`

const amountOf = ({ name, unit }: Part, quantity: number) =>
  `${quantityWords(unit === 'piece' ? { value: quantity } : { value: quantity, unit })} × ${name}`

function onVanWords({ onVan, unit }: Part): string {
  if (onVan === null) return 'nobody keeps what your van holds'
  if (onVan <= 0) return 'none on your van, on paper'
  return `${quantityWords(unit === 'piece' ? { value: onVan } : { value: onVan, unit })} on your van`
}

/** What a piece of work takes, in words. */
export function takesWords(part: Part, quantity: number): string {
  return part.onVan === null ? amountOf(part, quantity) : `${amountOf(part, quantity)} (${onVanWords(part)})`
}
