/** What the choices of an import are called on the screens. */
import type { SelectOption } from '@/components/forms'
import type { FileKind } from '@/lib/office/old-records/schema'

export const KIND_WORDS: Readonly<Record<FileKind, string>> = {
  clients: 'Clients',
  tanks: 'Tanks',
  equipment: 'Equipment',
  visits: 'Visits',
}
export const KIND_OPTIONS: readonly SelectOption[] = Object.entries(KIND_WORDS).map(([value, label]) => ({
  value,
  label,
}))

export const DELIMITER_OPTIONS: readonly SelectOption[] = [
  { value: ',', label: 'Comma' },
  { value: ';', label: 'Semicolon' },
  { value: '\t', label: 'Tab' },
  { value: '|', label: 'Bar |' },
]
export const DECIMAL_OPTIONS: readonly SelectOption[] = [
  { value: '.', label: 'Point: 1.5' },
  { value: ',', label: 'Comma: 1,5' },
]
export const DATE_OPTIONS: readonly SelectOption[] = [
  { value: 'day-first', label: 'Day first: 31/12/2024' },
  { value: 'month-first', label: 'Month first: 12/31/2024' },
]

const ANSWERS: Readonly<Record<string, string>> = {
  us: 'US gallon, 3.785 L',
  imperial: 'Imperial gallon, 4.546 L',
  'day-first': 'The day',
  'month-first': 'The month',
  '.': 'The point',
  ',': 'The comma',
}
export const answerWords = (choice: string) => ANSWERS[choice] ?? choice

const SETTLED: Readonly<Record<string, string>> = {
  chosen: 'as you chose',
  file: 'as the file shows',
  import: 'as the other files show',
  assumed: 'nothing shows it; this is assumed',
}
export const settledWords = (by: string) => SETTLED[by] ?? ''

const ENCODINGS: Readonly<Record<string, string>> = { 'windows-1252': 'Windows-1252' }
export const encodingWords = (encoding: string) => ENCODINGS[encoding] ?? encoding.toUpperCase().replace('-BOM', '')

export const countWords = (count: number, one: string, several: string) =>
  `${count.toLocaleString('en-GB')} ${count === 1 ? one : several}`
