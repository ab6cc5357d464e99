import { testRandomRequests } from './random-routes'

testRandomRequests({ requests: 300, seed: 7, reach: 60, timeoutMs: 240_000 })
