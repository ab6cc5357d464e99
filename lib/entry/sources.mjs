// Plain Node: what is built from which files, so that nothing is built twice.
import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import path from 'node:path'

/**
 * The files below some folders and files of the checkout, sorted; what begins with a dot is left out, and so is `except`.
 * @param {string[]} places
 * @param {string[]} [except]
 * @returns {string[]}
 */
export function filesBelow(places, except = []) {
  return places.flatMap((place) => below(place, except)).sort()
}

/**
 * @param {string} place
 * @param {string[]} except
 * @returns {string[]}
 */
function below(place, except) {
  if (!existsSync(place) || except.includes(place)) return []
  if (!statSync(place).isDirectory()) return [place]
  return readdirSync(place)
    .filter((name) => !name.startsWith('.'))
    .flatMap((name) => below(path.join(place, name), except))
}

/**
 * One hash over the names and contents of some files of the checkout (the working folder).
 * @param {string[]} files
 * @returns {string}
 */
export function hashOfFiles(files) {
  const hash = createHash('sha256')
  for (const file of files) hash.update(`${file}\0`).update(readFileSync(file)).update('\0')
  return hash.digest('hex')
}
