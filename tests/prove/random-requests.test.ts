import { beforeAll, expect, test } from 'vitest'
import { COMMAND_TARGETS, sendRandomRequests } from '../office/registry/random-requests'
import { testDatabase } from '../setup/database'

beforeAll(() => testDatabase())

test('20,000 random requests are answered, and nothing of another business changes', async () => {
  for (const seed of [1, 2, 3, 4]) {
    const { answered, done } = await sendRandomRequests(COMMAND_TARGETS, 5000, seed)
    expect(answered).toBe(5000)
    // Half are broken on purpose, and what they put away answers no more: some 400 go through.
    expect(done).toBeGreaterThan(250)
  }
})
