import { readdirSync } from 'node:fs'
import path from 'node:path'

const addressOf = (name: string) => {
  const parts = path.dirname(name).split(path.sep)
  return `/${parts.filter((part) => part !== '.' && !/^\(.*\)$/.test(part)).join('/')}`
}

const filesCalled = (file: string) =>
  readdirSync('app', { recursive: true, encoding: 'utf8' }).filter((name) => path.basename(name) === file)

/** The addresses under app/ that a `page.tsx` or a `route.ts` answers, as patterns: `/tanks/[tankId]`. Groups leave no trace. */
export function appRoutes(file: 'page.tsx' | 'route.ts'): string[] {
  return filesCalled(file).map(addressOf).sort()
}

/** The file that answers a pattern. */
export function fileOfRoute(pattern: string, file: 'page.tsx' | 'route.ts'): string {
  const name = filesCalled(file).find((found) => addressOf(found) === pattern)
  if (!name) throw new Error(`no ${file} answers ${pattern}`)
  return path.join('app', name)
}

/** Whether a real address belongs to a pattern. */
export function matches(pattern: string, address: string): boolean {
  const [wanted, given] = [pattern.split('/'), address.split('/')]
  return wanted.length === given.length && wanted.every((part, index) => part.startsWith('[') || part === given[index])
}
