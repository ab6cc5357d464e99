import { testRandomRequests } from './random-routes'

testRandomRequests({ requests: 2000, seed: 11, reach: 400, timeoutMs: 900_000 })
