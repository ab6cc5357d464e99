export { FindCause } from './find-cause'
