import { quantityWords } from '@/components/paper'

/** "2", "1 piece" needs no unit; "0.5 litre" does. Pieces are counted without a word. Below zero with a minus sign, not a hyphen. */
export function amount(value: number, unit: string): string {
  const words = unit === 'piece' || unit === '' ? quantityWords({ value }) : quantityWords({ value, unit })
  return value < 0 ? words.replace('-', '−') : words
}

const MOVE_WORDS: Readonly<Record<string, string>> = {
  received: 'Came in',
  moved: 'Moved',
  used: 'Used at a visit',
  counted: 'Counted',
  returned: 'Back to the supplier',
  'written-off': 'Thrown away',
}
/** What a kind of move is called. */
export const moveWords = (kind: string) => MOVE_WORDS[kind] ?? kind
