/** Every write of the books; each of them is one command, applied once and audited. */
export { creditInvoice } from './credit-commands'
export { discardDraft, editDraft, makeDrafts, startDraft } from './draft-commands'
export { issueInvoice } from './issue-commands'
export type { MoneyReason } from './money-command'
export { correctPayment, recordPayment } from './payment-commands'
export { addPriceItem, archivePriceItem, editPriceItem } from './price-commands'
