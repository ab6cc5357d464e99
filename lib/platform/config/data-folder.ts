import { mkdirSync } from 'node:fs'
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

/** Creates and returns a folder below the data folder, e.g. `makeDataFolder('logs')`. */
export function makeDataFolder(...parts: string[]): string {
  const folder = path.join(dataFolder(), ...parts)
  mkdirSync(folder, { recursive: true })
  return folder
}
