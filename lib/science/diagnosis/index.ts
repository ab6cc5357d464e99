/** Finding the one cause behind a sign. Imports nothing else: it runs on the phone too. */
export {
  DEFAULT_HIT,
  type DiagnosisAnswer,
  type DiagnosisCause,
  type DiagnosisCheck,
  type DiagnosisEvidence,
  type DiagnosisModel,
  type DiagnosisSetUp,
} from './model'
export { type NextCheck, nextCheck } from './next-check'
export { rankCauses } from './rank-causes'
export { troubleshootingOrder } from './troubleshooting-order'
export { updateCounts } from './update-counts'
