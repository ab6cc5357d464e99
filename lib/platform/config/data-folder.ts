import { chmodSync, mkdirSync } from 'node:fs'
import path from 'node:path'

/** The folder of the checkout. Every command is started by npm, which sets the working folder to it. */
export function checkoutFolder(): string {
  return process.cwd()
}

/** Where everything that must outlive a restart is kept: TANKROUND_DATA, else `.data` in the checkout. Not created here. */
export function dataFolder(): string {
  const chosen = process.env.TANKROUND_DATA?.trim()
  return chosen ? path.resolve(chosen) : path.join(checkoutFolder(), '.data')
}

/**
 * Creates and returns a folder below the data folder, e.g. `makeDataFolder('logs')`, for its owner only. The data folder itself can be
 * walked through, not listed, by others: where we are root, Postgres runs as another user and its data lies there.
 */
export function makeDataFolder(...parts: string[]): string {
  mkdirSync(dataFolder(), { recursive: true, mode: 0o711 })
  const folder = path.join(dataFolder(), ...parts)
  if (parts.length === 0) return folder
  mkdirSync(folder, { recursive: true })
  chmodSync(folder, 0o700) // also one that an earlier version left open
  return folder
}
