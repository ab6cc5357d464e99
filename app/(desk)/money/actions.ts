'use server'
import { fieldsOf, type Sent } from '@/lib/office/frame/action'
import {
  addPriceItem,
  archivePriceItem,
  chooseBooks,
  chooseMonthRule,
  correctPayment,
  creditInvoice,
  discardDraft,
  editDraft,
  editPriceItem,
  issueInvoice,
  makeDrafts,
  moveCredit,
  recordPayment,
  recordReceipt,
  startDraft,
  takeBackWaiver,
  takeNewFigures,
  taxPrices,
  waiveCharge,
} from '@/lib/office/money/commands'
import { issueReady } from '@/lib/office/money/issue-ready'
import { issuedWords } from '@/lib/office/money/issued-words'
import {
  bookChoicesSchema,
  correctPaymentSchema,
  creditFormSchema,
  editDraftSchema,
  editPriceItemSchema,
  fieldsWithParts,
  issueInvoiceSchema,
  issueReadyFormSchema,
  makeDraftsFormSchema,
  monthRuleSchema,
  moveCreditSchema,
  oneDraftSchema,
  onePriceItemSchema,
  priceItemSchema,
  recordPaymentSchema,
  recordReceiptSchema,
  startDraftSchema,
  takeBackWaiverSchema,
  taxPricesSchema,
  waiveChargeSchema,
} from '@/lib/office/money/schema'
import { act } from '@/lib/office/people/act'

/** The books call a command's id `id`. */
const read = (sent: Sent) => {
  const { commandId, ...fields } = fieldsOf(sent)
  return { ...fields, id: commandId }
}
/** The same, where a total comes along as the page wrote it. */
const readWithTotal = (sent: Sent) => {
  const fields: Record<string, unknown> = read(sent)
  return { ...fields, expectedGrossMinor: Number(fields.expectedGrossMinor) }
}

/** The same, where each invoice has a field of its own. */
const readWithParts = (sent: Sent) => fieldsWithParts(read(sent))

const BOOKS = { may: 'money.change', read, shows: ['/money', '/books'] } as const
const PAYMENT = { ...BOOKS, may: 'payment.record', said: 'Recorded.' } as const
const toInvoice = ({ invoiceId }: { invoiceId: string }) => `/money/${invoiceId}`

export const makeDraftsAction = act({
  ...BOOKS,
  schema: makeDraftsFormSchema,
  command: makeDrafts,
  said: ({ invoiceIds: { length: count } }) =>
    count === 0 ? 'Nothing was left to bill.' : count === 1 ? 'One draft was made.' : `${count} drafts were made.`,
})
export const startDraftAction = act({ ...BOOKS, schema: startDraftSchema, command: startDraft, next: toInvoice })
export const editDraftAction = act({ ...BOOKS, schema: editDraftSchema, command: editDraft, said: 'Saved.' })
export const discardDraftAction = act({ ...BOOKS, schema: oneDraftSchema, command: discardDraft, next: '/money' })
export const issueInvoiceAction = act({
  ...BOOKS,
  read: readWithTotal,
  schema: issueInvoiceSchema,
  command: issueInvoice,
})
export const creditInvoiceAction = act({ ...BOOKS, schema: creditFormSchema, command: creditInvoice, next: toInvoice })

export const recordPaymentAction = act({ ...PAYMENT, schema: recordPaymentSchema, command: recordPayment })
export const recordReceiptAction = act({
  ...PAYMENT,
  read: readWithParts,
  schema: recordReceiptSchema,
  command: recordReceipt,
})
export const correctPaymentAction = act({
  ...PAYMENT,
  read: readWithParts,
  schema: correctPaymentSchema,
  command: correctPayment,
  next: ({ paymentId }) => `/books/payments/${paymentId}`,
})
export const moveCreditAction = act({ ...PAYMENT, schema: moveCreditSchema, command: moveCredit, said: 'Moved.' })
export const chooseBooksAction = act({
  ...BOOKS,
  may: 'books.export',
  schema: bookChoicesSchema,
  command: chooseBooks,
  said: 'Saved.',
})

export const addPriceItemAction = act({ ...BOOKS, schema: priceItemSchema, command: addPriceItem, said: 'Saved.' })
export const editPriceItemAction = act({
  ...BOOKS,
  schema: editPriceItemSchema,
  command: editPriceItem,
  said: 'Saved.',
})
export const archivePriceItemAction = act({ ...BOOKS, schema: onePriceItemSchema, command: archivePriceItem })
export const taxPricesAction = act({
  ...BOOKS,
  schema: taxPricesSchema,
  command: taxPrices,
  said: ({ changed }) => (changed === 1 ? 'One price was changed.' : `${changed} prices were changed.`),
})

export const issueReadyAction = act({
  ...BOOKS,
  schema: issueReadyFormSchema,
  command: issueReady,
  said: ({ issued }) => issuedWords(issued),
})
export const takeNewFiguresAction = act({ ...BOOKS, schema: oneDraftSchema, command: takeNewFigures })
export const waiveChargeAction = act({ ...BOOKS, schema: waiveChargeSchema, command: waiveCharge })
export const takeBackWaiverAction = act({ ...BOOKS, schema: takeBackWaiverSchema, command: takeBackWaiver })
export const chooseMonthRuleAction = act({
  ...BOOKS,
  schema: monthRuleSchema,
  command: chooseMonthRule,
  said: 'Saved.',
})
