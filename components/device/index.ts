export { OnThisDevice } from './person'
