import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { expect, test } from 'vitest'
import { killRestores } from '../platform/backup/kill-restore'

test('a restore that is killed at twenty moments leaves the old state or the whole new one', async () => {
  const folder = await mkdtemp(path.join(tmpdir(), 'killed-'))
  try {
    const outcome = await killRestores(folder, { kills: 20, seed: 20 })
    console.info(`20 kills: ${outcome.old} times the old state, ${outcome.whole} times the whole new one`)
    expect(outcome.old + outcome.whole).toBe(20)
    expect(outcome.old).toBeGreaterThanOrEqual(10)
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
})
