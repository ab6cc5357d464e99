import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import path from 'node:path'

/** Weights used on paper. */
export type FontName = 'regular' | 'semibold'

const FONT_FILES: Record<FontName, string> = {
  regular: '@expo-google-fonts/noto-sans/400Regular/NotoSans_400Regular.ttf',
  semibold: '@expo-google-fonts/noto-sans/600SemiBold/NotoSans_600SemiBold.ttf',
}

let loaded: Promise<Record<FontName, Buffer>> | undefined

async function readFonts(): Promise<Record<FontName, Buffer>> {
  // Resolved from the project's package.json, not from this file: a bundler would move this file, and would try to
  // read a literal font path as a module.
  const fromProject = createRequire(path.join(process.cwd(), 'package.json'))
  const read = (name: FontName) => readFile(fromProject.resolve(FONT_FILES[name]))
  const [regular, semibold] = await Promise.all([read('regular'), read('semibold')])
  return { regular, semibold }
}

/**
 * The full fonts (Latin, Greek, Cyrillic, Vietnamese), read once per process. The web subsets will not do: their
 * "latin-ext" files lack the plain letters, so a name like Łódź would lose most of its own.
 * Errors: rejects when the font package is not installed; the next call tries again.
 */
export function invoiceFonts(): Promise<Record<FontName, Buffer>> {
  loaded ??= readFonts().catch((error: unknown) => {
    loaded = undefined
    throw error
  })
  return loaded
}
