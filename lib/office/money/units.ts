/**
 * The unit of a line: the word that a person wrote, and its code for a machine. Pure.
 *
 * Codes: UN/ECE Recommendation 20, which EN 16931 takes for BT-130 (rule BR-CL-23). A word that is not known is counted as one, C62, and keeps
 * its word: nothing is lost on paper, and an e-invoice says "one" beside the description.
 */

type Unit = { code: string; words: readonly string[] }

/** The first word of each is how we would write it. */
const UNITS: readonly Unit[] = [
  { code: 'C62', words: ['', 'one', 'unit', 'units', 'visit', 'visits'] },
  { code: 'H87', words: ['piece', 'pieces', 'pc', 'pcs'] },
  { code: 'EA', words: ['each'] },
  { code: 'HUR', words: ['hour', 'hours', 'h', 'hr', 'hrs'] },
  { code: 'MIN', words: ['minute', 'minutes', 'min', 'mins'] },
  { code: 'DAY', words: ['day', 'days'] },
  { code: 'WEE', words: ['week', 'weeks'] },
  { code: 'MON', words: ['month', 'months'] },
  { code: 'ANN', words: ['year', 'years'] },
  { code: 'LTR', words: ['litre', 'litres', 'liter', 'liters', 'l'] },
  { code: 'MLT', words: ['millilitre', 'millilitres', 'milliliter', 'milliliters', 'ml'] },
  { code: 'GLL', words: ['us gallon', 'us gallons', 'us gal'] },
  { code: 'GLI', words: ['imperial gallon', 'imperial gallons', 'imp gal'] },
  { code: 'KGM', words: ['kilogram', 'kilograms', 'kilogramme', 'kilogrammes', 'kilo', 'kilos', 'kg'] },
  { code: 'GRM', words: ['gram', 'grams', 'gramme', 'grammes', 'g'] },
  { code: 'LBR', words: ['pound', 'pounds', 'lb', 'lbs'] },
  { code: 'ONZ', words: ['ounce', 'ounces', 'oz'] },
  { code: 'MTR', words: ['metre', 'metres', 'meter', 'meters', 'm'] },
  { code: 'CMT', words: ['centimetre', 'centimetres', 'centimeter', 'centimeters', 'cm'] },
  { code: 'FOT', words: ['foot', 'feet', 'ft'] },
  { code: 'KMT', words: ['kilometre', 'kilometres', 'kilometer', 'kilometers', 'km'] },
  { code: 'SMI', words: ['mile', 'miles'] },
  { code: 'MTK', words: ['square metre', 'square metres', 'm²', 'm2'] },
  { code: 'MTQ', words: ['cubic metre', 'cubic metres', 'm³', 'm3'] },
  { code: 'SET', words: ['set', 'sets'] },
  { code: 'PR', words: ['pair', 'pairs'] },
]

/** Every word that is known with its code, as the migration of old rows has them too. */
export const UNIT_WORDS: ReadonlyMap<string, string> = new Map(
  UNITS.flatMap(({ code, words }) => words.map((word) => [word, code] as const)),
)

/** The word beside a quantity: "2 hours". Only words whose plural we know change; the quantity is plain decimal text. @example unitBeside('hour', '1.5') // 'hours' */
export function unitBeside(word: string, quantity: string): string {
  const isOne = /^-?0*1(\.0*)?$/.test(quantity)
  return !isOne && UNIT_WORDS.has(`${word.toLowerCase()}s`) ? `${word}s` : word
}

/**
 * The columns of a unit: the word as written and its code.
 * @example unitColumns('hours') // { unit: 'hours', unitCode: 'HUR' }
 */
export function unitColumns(word: string): { unit: string; unitCode: string } {
  return { unit: word, unitCode: UNIT_WORDS.get(word.trim().toLowerCase()) ?? 'C62' }
}
