import { existsSync, readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { describe, expect, test } from 'vitest'

const OFFICE = 'lib/office'
const folders = readdirSync(OFFICE, { withFileTypes: true }).flatMap((entry) =>
  entry.isDirectory() ? [entry.name] : [],
)

const pageOf = (folder: string) => readFileSync(path.join(OFFICE, folder, 'README.md'), 'utf8')

/** The folders of the office that this one imports. */
function importedBy(folder: string): string[] {
  const files = readdirSync(path.join(OFFICE, folder), { recursive: true, encoding: 'utf8' })
  const code = files
    .filter((file) => /\.tsx?$/.test(file))
    .map((file) => readFileSync(path.join(OFFICE, folder, file), 'utf8'))
  const found = code.flatMap((text) =>
    [...text.matchAll(/from '(?:\.\.|@\/lib\/office)\/([a-z-]+)\//g)].map(([, name = '']) => name),
  )
  return [...new Set(found)].filter((name) => name !== folder).sort()
}

test('every folder of the office opens with one page', () => {
  expect(folders.length).toBeGreaterThan(15)
  expect(folders.filter((folder) => !existsSync(path.join(OFFICE, folder, 'README.md')))).toEqual([])
})

describe.each(folders)('the page of %s', (folder) => {
  test('is short, and names files that exist', () => {
    const page = pageOf(folder)
    expect(page.startsWith(`# ${folder}\n`)).toBe(true)
    expect(page.split('\n').length).toBeLessThan(22)
    const named = [...page.matchAll(/`([a-z-]+\.tsx?)`/g)].map(([, name = '']) => name)
    expect(named.length).toBeGreaterThan(0)
    expect(named.filter((name) => !existsSync(path.join(OFFICE, folder, name)))).toEqual([])
  })

  test('says which folders it may use, and it uses no other', () => {
    const may = /^May use: (.*)\.$/m.exec(pageOf(folder))?.[1]?.split(', ') ?? []
    expect(may.length).toBeGreaterThan(0)
    expect(importedBy(folder).filter((name) => !may.includes(name))).toEqual([])
    expect(may.filter((name) => name !== 'nothing of the office' && !folders.includes(name))).toEqual([])
  })
})
