import type { Metadata } from 'next'
import { OneAct, PriceForm } from '@/components/money'
import { ButtonLink, DateWords, Empty, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { pricesPage } from '@/lib/office/money/queries'
import { mayDo } from '@/lib/office/people/role-actions'
import { requireActor } from '@/lib/office/people/session'
import { addPriceItemAction, archivePriceItemAction, editPriceItemAction } from '../actions'

export const metadata: Metadata = { title: 'Price list' }

const KIND_WORDS: Record<string, string> = {
  labour: 'Labour',
  part: 'Part',
  fee: 'Fee',
  travel: 'Travel',
  animal: 'Animal',
}

export default async function PricesPage() {
  const actor = await requireActor('money.read')
  const { businessId, currency, locale, today, defaultTax, prices } = await pricesPage(actor)
  const mayChange = mayDo(actor.roles, 'money.change')
  const day = (date: string) => <DateWords date={date} style="date" locale={locale} />
  return (
    <>
      <PageHead
        over="Money"
        title="Price list"
        sub="What visits without a fee, call-outs and parts are billed at, without tax. Invoices keep the price they were written with."
        actions={<ButtonLink href="/money">Back to Money</ButtonLink>}
      />
      <Sheet>
        <DataTable
          caption={`Prices in ${currency}`}
          rows={prices}
          empty={<Empty title="No prices yet">Add a call-out first, then the parts you fit most.</Empty>}
          columns={[
            { key: 'name', header: 'Name', cell: ({ name }) => name },
            { key: 'kind', header: 'What it is', cell: ({ kind }) => KIND_WORDS[kind] ?? kind },
            {
              key: 'price',
              header: 'Price',
              numeric: true,
              cell: ({ priceText, unit }) => `${priceText} per ${unit}`,
            },
            { key: 'tax', header: 'Tax', numeric: true, cell: ({ taxText }) => taxText },
            {
              key: 'since',
              header: 'Holds from',
              cell: ({ validFrom, coming }) => (
                <>
                  {day(validFrom)}
                  {coming && (
                    <span className="soft">
                      , then {coming.priceText} from {day(coming.validFrom)}
                    </span>
                  )}
                </>
              ),
            },
            ...(mayChange
              ? [
                  {
                    key: 'change',
                    header: 'Change',
                    bare: true,
                    cell: (price: (typeof prices)[number]) => (
                      <div className="price-acts">
                        <details className="confirm">
                          <summary>Change</summary>
                          <div className="confirm-body">
                            <PriceForm
                              businessId={businessId}
                              currency={currency}
                              priceItemId={price.id}
                              price={price.typed}
                              act={editPriceItemAction}
                            />
                          </div>
                        </details>
                        <OneAct
                          ask="Archive"
                          confirm={`Yes, take “${price.name}” off the list`}
                          input={{ businessId, priceItemId: price.id }}
                          act={archivePriceItemAction}
                        >
                          <p>Invoices that used it keep it; nothing new is billed at it.</p>
                        </OneAct>
                      </div>
                    ),
                  },
                ]
              : []),
          ]}
        />
      </Sheet>
      {mayChange && (
        <Sheet title="A new price">
          <PriceForm
            businessId={businessId}
            currency={currency}
            price={{
              name: '',
              kind: 'part',
              unit: 'piece',
              unitPrice: '',
              taxCategory: defaultTax.category,
              taxRate: defaultTax.ratePercent,
              taxExemptionReason: '',
              validFrom: today,
              forVisitKind: '',
            }}
            act={addPriceItemAction}
          />
        </Sheet>
      )}
    </>
  )
}
