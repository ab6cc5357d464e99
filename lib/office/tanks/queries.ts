/** Everything that is read of tanks; each is one transaction. */
export {
  type AgreementForm,
  type ClassChoice,
  classChoices,
  type DeviceForm,
  findAgreementForm,
  findDevice,
  findTankFields,
  type TankFormChoices,
  tankFormChoices,
} from './form-choices'
export { listTanks, type TankList, type TankRow } from './list-tanks'
export { type AgreementWords, findTank, type TankPage, tankFamily } from './tank-page'
