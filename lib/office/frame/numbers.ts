/** Numbers as people write them: with a decimal comma or point, and with thousands grouped. Pure. */

export const DECIMAL_MARKS = ['.', ','] as const
export type DecimalMark = (typeof DECIMAL_MARKS)[number]

const SPACES = /[\s\u00a0\u202f'’]/g
const PLAIN = /^[+-]?\d+$/

/** What a number's own shape says about the decimal mark: null where it says nothing (`450`) or leaves it open (`1,500`). */
function decimalMarkShown(text: string): DecimalMark | null {
  const bare = text.replace(SPACES, '')
  const points = bare.split('.').length - 1
  const commas = bare.split(',').length - 1
  if (points > 0 && commas > 0) return bare.lastIndexOf('.') > bare.lastIndexOf(',') ? '.' : ','
  const mark = points > 0 ? '.' : ','
  if (points + commas === 0) return null
  if (points + commas > 1) return mark === '.' ? ',' : '.' // several of one kind can only group thousands
  const [before = '', after = ''] = bare.replace(/^[+-]/, '').split(mark)
  const couldGroup = after.length === 3 && before.length >= 1 && before.length <= 3 && !before.startsWith('0')
  return couldGroup ? null : mark
}

/** A minus as screens and papers print it (U+2212) is the minus of a keyboard: what is copied from one can be put into a field. */
export const withPlainMinus = (text: string): string => text.replaceAll('\u2212', '-')

/**
 * Plain digits with at most one mark for decimals, where the grouping is unmistakable: spaces between thousands, and points or commas that
 * stand beside the other one (`1,297.50`, `1.297,50`). What could be read two ways stays as it is.
 */
export function withoutGrouping(text: string): string {
  const bare = text.trim().replace(/(?<=\d)[ \u00a0\u202f](?=\d{3}(?!\d))/g, '')
  if (/^-?\d{1,3}(,\d{3})+\.\d+$/.test(bare)) return bare.replaceAll(',', '')
  if (/^-?\d{1,3}(\.\d{3})+,\d+$/.test(bare)) return bare.replaceAll('.', '')
  return bare
}

/** True for `1,500` or `1.500`: one and a half, or fifteen hundred, by where the writer lives. */
export function isOpenNumber(text: string): boolean {
  return /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/.test(text.trim())
}

/**
 * Reads a number. `mark` decides only the shapes that could be read both ways (`1,500`); others speak for themselves.
 * Returns null where the text is no number.
 */
export function parseNumber(text: string, mark: DecimalMark): number | null {
  const bare = withPlainMinus(text.trim().replace(SPACES, ''))
  if (PLAIN.test(bare)) return Number(bare)
  const decimal = decimalMarkShown(bare) ?? mark
  const group = decimal === '.' ? ',' : '.'
  const grouped = new RegExp(`^[+-]?\\d{1,3}(\\${group}\\d{3})+(\\${decimal}\\d+)?$`)
  const simple = new RegExp(`^[+-]?(\\d+\\${decimal}?\\d*|\\${decimal}\\d+)$`)
  if (!grouped.test(bare) && !simple.test(bare)) return null
  const value = Number(bare.replaceAll(group, '').replace(decimal, '.'))
  return Number.isFinite(value) ? value : null
}

/** How many numbers show a decimal point, a decimal comma, or could be read both ways. */
export type MarkCount = { points: number; commas: number; open: number }
export const NO_DECIMALS: MarkCount = { points: 0, commas: 0, open: 0 }

export function countDecimalMarks(cells: Iterable<string>): MarkCount {
  const count = { ...NO_DECIMALS }
  for (const cell of cells)
    for (const number of cell.match(/\d+[.,][\d.,]*\d/g) ?? []) {
      const shown = decimalMarkShown(number)
      if (shown === '.') count.points++
      else if (shown === ',') count.commas++
      else if (isOpenNumber(number)) count.open++
    }
  return count
}

/** One slip among so many does not make a column unsure. */
const MANY_AGAINST_ONE = 20

export function markFrom({ points, commas }: MarkCount): { value: DecimalMark; sure: boolean; shown: boolean } {
  const [more, fewer] = [Math.max(points, commas), Math.min(points, commas)]
  return { value: commas > points ? ',' : '.', sure: more > 0 && more >= MANY_AGAINST_ONE * fewer, shown: more > 0 }
}
