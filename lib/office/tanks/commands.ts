/** Every change of tanks, equipment and agreements; each is one command in one transaction. */
export { addAgreement, changeAgreement, endAgreement } from './agreement-commands'
export { addEquipment, editEquipment, replaceEquipment, retireEquipment } from './equipment-commands'
export { handOverTank } from './hand-over-command'
export { mergeTanks } from './merge-command'
export { addTank, archiveTank, editTank, restoreTank } from './tank-commands'
