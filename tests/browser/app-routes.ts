import { readdirSync } from 'node:fs'
import path from 'node:path'

/** The addresses under app/ that a `page.tsx` or a `route.ts` answers, as patterns: `/tanks/[tankId]`. Groups leave no trace. */
export function appRoutes(file: 'page.tsx' | 'route.ts'): string[] {
  return readdirSync('app', { recursive: true, encoding: 'utf8' })
    .filter((name) => path.basename(name) === file)
    .map((name) => {
      const parts = path.dirname(name).split(path.sep)
      return `/${parts.filter((part) => part !== '.' && !/^\(.*\)$/.test(part)).join('/')}`
    })
    .sort()
}

/** Whether a real address belongs to a pattern. */
export function matches(pattern: string, address: string): boolean {
  const [wanted, given] = [pattern.split('/'), address.split('/')]
  return wanted.length === given.length && wanted.every((part, index) => part.startsWith('[') || part === given[index])
}
