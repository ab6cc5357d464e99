import type { Metadata } from 'next'
import { Step } from '@/components/forms'
import { MonthRuleForm, PriceForm, TaxPricesForm } from '@/components/money'
import { ButtonLink, DateWords, Empty, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { mayDo } from '@/lib/office/frame/role-actions'
import { pricesPage } from '@/lib/office/money/queries'
import { requireActor } from '@/lib/office/people/session'
import {
  addPriceItemAction,
  archivePriceItemAction,
  chooseMonthRuleAction,
  editPriceItemAction,
  taxPricesAction,
} from '../actions'

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
  const { currency, locale, today, defaultTax, prices, taxedOtherwise, monthRule } = await pricesPage(actor)
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
      {mayChange && taxedOtherwise > 0 && (
        <Sheet title="The tax of your prices" tone="call">
          <TaxPricesForm
            action={taxPricesAction}
            count={taxedOtherwise}
            taxText={defaultTax.text}
            isRegistered={defaultTax.category !== 'O'}
            today={today}
          />
        </Sheet>
      )}
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
                              currency={currency}
                              priceItemId={price.id}
                              price={price.typed}
                              action={editPriceItemAction}
                            />
                          </div>
                        </details>
                        <Step
                          name="price.archive"
                          ask="Archive"
                          confirm={`Yes, take “${price.name}” off the list`}
                          hidden={{ priceItemId: price.id }}
                          action={archivePriceItemAction}
                        >
                          <p>Invoices that used it keep it; nothing new is billed at it.</p>
                        </Step>
                      </div>
                    ),
                  },
                ]
              : []),
          ]}
        />
      </Sheet>
      {mayChange && (
        <Sheet title="Monthly fees">
          <MonthRuleForm action={chooseMonthRuleAction} rule={monthRule} />
        </Sheet>
      )}
      {mayChange && (
        <Sheet title="A new price">
          <PriceForm
            currency={currency}
            price={{
              name: '',
              kind: 'part',
              unit: 'piece',
              unitPrice: '',
              taxCategory: defaultTax.category,
              taxRate: defaultTax.ratePercent,
              taxExemptionReason: '',
              taxParts: defaultTax.parts,
              validFrom: today,
              forVisitKind: '',
            }}
            action={addPriceItemAction}
          />
        </Sheet>
      )}
    </>
  )
}
