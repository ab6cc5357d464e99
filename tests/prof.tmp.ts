import { OfficeInMemory } from './office/money/history/office-in-memory'
import { randomHistory } from './office/money/history/random-history'
import { walkHistory } from './office/money/history/walk'
const t=performance.now(); for (let seed=1;seed<=10;seed++) await walkHistory(randomHistory(seed), new OfficeInMemory(), `h ${seed}`); console.log((performance.now()-t)/10)
