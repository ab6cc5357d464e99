import 'server-only'
import { ZxcvbnFactory } from '@zxcvbn-ts/core'
import { adjacencyGraphs, dictionary } from '@zxcvbn-ts/language-common'

/**
 * At least "safely unguessable: moderate protection" of zxcvbn's five steps (Wheeler, "zxcvbn: Low-Budget Password Strength
 * Estimation", USENIX Security 2016): more than a hundred million guesses.
 */
const LEAST_SCORE = 3

let estimator: ZxcvbnFactory | undefined

/**
 * What is wrong with a password that many people use or that is quickly guessed, in words; null when it will do. `personal`
 * are words that a guesser would try first: the person's own name, address, business. Takes a few milliseconds.
 */
export function passwordWeakness(password: string, personal: readonly string[]): string | null {
  estimator ??= new ZxcvbnFactory({ dictionary, graphs: adjacencyGraphs })
  const words = [...personal, 'tankround']
    .flatMap((text) => [text, ...text.split(/[^\p{L}\p{N}]+/u)])
    .filter(({ length }) => length > 2)
  // A long password costs the estimator more than it could add: its first hundred characters decide.
  const { score, sequence } = estimator.check(password.slice(0, 100), words)
  if (score >= LEAST_SCORE) return null
  const lists = sequence.map((part) => ('dictionaryName' in part ? String(part.dictionaryName) : ''))
  if (lists.some((name) => name.startsWith('userInputs')))
    return 'This password contains your name, address or business. Take a few unrelated words in a row.'
  if (lists.some((name) => name.startsWith('passwords')))
    return 'This is one of the passwords most people use, or close to it. Take a few unrelated words in a row.'
  return 'This password is quickly guessed: repeated or neighbouring characters, dates and short words add little. Take a few unrelated words in a row.'
}
