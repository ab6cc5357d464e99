export { CallForm } from './call-form'
