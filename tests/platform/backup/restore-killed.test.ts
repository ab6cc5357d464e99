import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { expect, test } from 'vitest'
import { killRestores } from './kill-restore'

// Stated by itself: the old state or the whole new one, nothing between. Twenty kills are in tests/prove.

test('a restore that is killed leaves the old state or the whole new one', async () => {
  const folder = await mkdtemp(path.join(tmpdir(), 'killed-'))
  try {
    const { old, whole } = await killRestores(folder, { kills: 3, seed: 9 })
    expect(old + whole).toBe(3)
    expect(old).toBeGreaterThanOrEqual(1)
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
}, 180_000)
