import { Field, SelectField, TextAreaField } from '@/components/forms'
import type { DraftLineValues } from './draft-values'
import { TAX_OPTIONS, TAX_PARTS_HINT, TAX_REASON_HINT } from './tax-options'

type Name = Exclude<keyof DraftLineValues, 'id'>

type Props = {
  index: number
  currency: string
  placeName: string
  billsWork: boolean
  category: string
  field: (name: Name) => object & { id: string; error: string | undefined }
  remove: () => void
}

/** One line of a draft: what, how much, at what price, when, and how it is taxed. */
export function DraftLineFields({ index, currency, placeName, billsWork, category, field, remove }: Props) {
  const needsReason = !['S', 'Z'].includes(category)
  return (
    <fieldset className="draft-line">
      <legend>
        Line {index + 1}
        {placeName !== '' && <span className="soft"> · {placeName}</span>}
      </legend>
      <div className="draft-line-what">
        <TextAreaField {...field('description')} label="What for" rows={2} />
      </div>
      <Field {...field('quantity')} label="Quantity" inputMode="decimal" className="n" />
      <Field {...field('unit')} label="Unit" />
      <Field {...field('unitPrice')} label="Price of one" unit={currency} inputMode="decimal" className="n" />
      <Field {...field('serviceStart')} label="Service from" type="date" />
      <Field {...field('serviceEnd')} label="Service to" type="date" />
      <SelectField {...field('taxCategory')} label="Tax" options={TAX_OPTIONS} />
      {category === 'S' && (
        <>
          <Field {...field('taxRate')} label="Tax rate" unit="%" inputMode="decimal" className="n" />
          <Field {...field('taxParts')} label="Made of several taxes?" hint={TAX_PARTS_HINT} />
        </>
      )}
      {needsReason && (
        <div className="draft-line-what">
          <Field {...field('taxExemptionReason')} label="Why no tax is charged" hint={TAX_REASON_HINT} />
        </div>
      )}
      <div className="draft-line-what actions">
        <button type="button" className="quiet" onClick={remove}>
          Take line {index + 1} off
        </button>
        {billsWork && <span className="soft small">Taken off, its work is unbilled again.</span>}
      </div>
    </fieldset>
  )
}
