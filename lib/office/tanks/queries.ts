/** Everything that is read of tanks; each is one transaction. */
export { findAgreementForm } from './agreement-form'
export { findDevice, findNewDevice } from './device-form'
export {
  findTankForm,
  tankFormChoices,
} from './form-choices'
export { listTanks } from './list-tanks'
export { findTank } from './tank-page'
