type Party = { name: string; addressLines: readonly string[]; detailLines: readonly string[] }
type Amount = { label: string; amount: string }

/** The words of a document as `invoiceView` gives them; the same that are printed. */
export type PaperView = {
  kind: 'invoice' | 'credit_note'
  state: string
  number: string | null
  issueDate: string
  business: Party
  client: Party
  facts: readonly { label: string; value: string }[]
  currency: string
  taxName: string
  lines: readonly {
    description: string
    detail: string
    quantity: string
    unit: string
    unitPrice: string
    tax: string
    net: string
  }[]
  summary: readonly Amount[]
  final: Amount
  payment: { iban: string; bic: string; others: readonly { label: string; value: string }[] } | null
  notes: readonly string[]
  footer: readonly string[]
}

/** An invoice, credit note or draft as the client will hold it. */
export function InvoicePaper({ view }: { view: PaperView }) {
  const title = view.kind === 'invoice' ? 'Invoice' : 'Credit note'
  return (
    <article className="invoice-paper" aria-label={`${title} as it is printed`}>
      <header>
        <div>
          <p className="invoice-name">{view.business.name}</p>
          <Lines lines={[...view.business.addressLines, ...view.business.detailLines]} />
        </div>
        <div className="invoice-title">
          <p className="invoice-name">{view.number === null ? `${title}, draft` : title}</p>
          <Lines lines={view.number === null ? [view.issueDate] : [view.number, view.issueDate]} />
        </div>
      </header>
      <div className="invoice-to">
        <p>
          <b>{view.client.name}</b>
        </p>
        <Lines lines={[...view.client.addressLines, ...view.client.detailLines]} />
      </div>
      {view.facts.length > 0 && (
        <dl className="invoice-facts">
          {view.facts.map(({ label, value }) => (
            <div key={label}>
              <dt>{label}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      )}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="invoice-scroll" tabIndex={0} aria-label="Lines">
        <table>
          <caption>Amounts in {view.currency}</caption>
          <thead>
            <tr>
              <th scope="col">What</th>
              <th scope="col" className="n">
                Quantity
              </th>
              <th scope="col" className="n">
                Price
              </th>
              {view.taxName !== '' && (
                <th scope="col" className="n">
                  {view.taxName}
                </th>
              )}
              <th scope="col" className="n">
                {view.taxName === '' ? 'Amount' : 'Net'}
              </th>
            </tr>
          </thead>
          <tbody>
            {view.lines.map((line, index) => (
              // The lines of a paper have no other name than their place on it.
              // biome-ignore lint/suspicious/noArrayIndexKey: see above
              <tr key={index}>
                <td>
                  {line.description}
                  {line.detail !== '' && <span className="invoice-detail">{line.detail}</span>}
                </td>
                <td className="n">
                  {line.quantity}
                  {line.unit !== '' && ` ${line.unit}`}
                </td>
                <td className="n">{line.unitPrice}</td>
                {view.taxName !== '' && <td className="n">{line.tax}</td>}
                <td className="n">{line.net}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <dl className="invoice-sums">
        {view.summary.map(({ label, amount }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{amount}</dd>
          </div>
        ))}
        <div className="invoice-final">
          <dt>{view.final.label}</dt>
          <dd>{view.final.amount}</dd>
        </div>
      </dl>
      {view.payment && <p className="small">{accountWords(view.payment)}</p>}
      {view.notes.map((note) => (
        <p key={note} className="small">
          {note}
        </p>
      ))}
      {view.footer.map((line) => (
        <p key={line} className="small soft">
          {line}
        </p>
      ))}
    </article>
  )
}

function accountWords({ iban, bic, others }: NonNullable<PaperView['payment']>): string {
  const account = iban === '' ? '' : `Account ${iban.replace(/(.{4})(?=.)/g, '$1 ')}`
  return [...others.map(({ label, value }) => `${label} ${value}`), account, bic]
    .filter((words) => words !== '')
    .join(', ')
}

function Lines({ lines }: { lines: readonly string[] }) {
  return (
    <>
      {lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </>
  )
}
