/** What the pages of a technician read; each page calls one of these, in one transaction. */
export { findRoute, findTankToVisit } from './route'
export { findLookPage, findVisitPage, findWorkPage, type VisitPage } from './visit-page'
