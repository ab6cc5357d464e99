import { weeksWords } from '@/components/due/due-words'

/** Days from … to … as one says it: "15 to 19 weeks", "9 days to 4 weeks". */
export function rangeWords(lowerDays: number, upperDays: number): string {
  const [low, high] = [weeksWords(lowerDays), weeksWords(upperDays)]
  const unit = (words: string) => words.slice(words.indexOf(' ') + 1)
  return unit(low) === unit(high) ? `${low.slice(0, low.indexOf(' '))} to ${high}` : `${low} to ${high}`
}
