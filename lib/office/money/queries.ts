/** What the money screens read; one function for each page. */
export { accountantFile, booksPage } from './books-page'
export { INVOICE_FILTERS, INVOICES_PER_PAGE } from './invoice-list'
export { invoiceFile, invoicePage } from './invoice-page'
export { moneyPage, proposeUnbilled } from './money-page'
export { pricesPage } from './prices-page'
