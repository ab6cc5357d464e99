/** What changes the plan; each is one transaction, audited. */
export { type DueOutcome, fillFromAgreements } from './due-commands'
export { answerRequest, bookFromRequest } from './request-commands'
export { bookVisit, cancelVisit, moveVisit } from './visit-commands'
