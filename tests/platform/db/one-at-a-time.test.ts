import { setImmediate } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { inScope } from '@/lib/platform/db/scope'
import { makeRound } from '../../office/visits/round'

// pg 8.16 and later warn, once in a process: "Calling client.query() when the client is already executing a query is deprecated".
test('the statements of one include do not overlap on the connection of a transaction', async () => {
  const warnings: string[] = []
  process.on('warning', (warning) => warnings.push(warning.message))
  const round = await makeRound()
  const tanks = await inScope(round.scope, (tx) =>
    tx.tank.findMany({ include: { slots: true, site: true, equipments: true, tankClients: true, tankPrivate: true } }),
  )
  expect(tanks).toHaveLength(2)
  await setImmediate()
  expect(warnings.filter((words) => words.includes('already executing'))).toEqual([])
})
