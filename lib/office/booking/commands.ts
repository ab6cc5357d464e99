/** What changes the plan; each is one transaction, audited. */
export { fillFromAgreements } from './due-commands'
export { answerRequest, bookFromRequest } from './request-commands'
export { bookVisit, cancelVisit, moveVisit, setOutOfHours } from './visit-commands'
