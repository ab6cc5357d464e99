/** Everything that is read of tanks; each is one transaction. */
export { type AgreementForm, findAgreementForm } from './agreement-form'
export { type DeviceForm, findDevice, findNewDevice, type NewDeviceForm } from './device-form'
export {
  type ClassChoice,
  classChoices,
  findTankForm,
  type TankForm,
  type TankFormChoices,
  tankFormChoices,
} from './form-choices'
export { listTanks, type TankList, type TankRow } from './list-tanks'
export { type AgreementWords, findTank, type TankPage, tankFamily } from './tank-page'
