/** What the pages of the plan read; each page calls one of these, in one transaction. */
export { type BookingPage, bookingPage, type MovePage, movePage } from './booking-page'
export { dueByAgreement } from './due-by-agreement'
export { requests } from './requests'
export { weekOf } from './week'
