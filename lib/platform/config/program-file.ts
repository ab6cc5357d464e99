import path from 'node:path'

/**
 * The compiled program or thread of that name (`worker`, `derive-thread`), made by lib/entry/compile-programs.mjs before anything else runs.
 * Errors: Error where TANKROUND_PROGRAMS does not say where they lie.
 */
export function programFile(name: string): string {
  const folder = process.env.TANKROUND_PROGRAMS
  if (!folder)
    throw new Error(
      'TANKROUND_PROGRAMS is not set: start with `npm start`, or with --import lib/entry/set-programs.mjs',
    )
  return path.join(folder, `${name}.js`)
}
