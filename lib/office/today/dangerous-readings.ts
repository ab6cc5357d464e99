import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { judgeReading, profileOf, TANK_KINDS, unitsOf, waterProfiles } from '@/lib/trade'
import { addDays, dayIn } from '../frame/days'
import { answerTo, type Question, type StoredAnswers } from '../frame/stored-answer'
import { quantityOf } from '../visits/water'

/** The newest figure counts however old it is, up to here: water that was dangerous and never measured again still waits. */
const LOOK_BACK_DAYS = 60
const SHOWN_AT_MOST = 25

export type DangerousReading = {
  readingId: string
  tankId: string
  tankName: string
  siteName: string
  /** "Un-ionised ammonia 0.5 mg/L is dangerously high (at most 0.02 mg/L)." */
  words: string
  takenOn: string
  bookedOn: string | null
}

type Row = Omit<DangerousReading, 'words'> & { profile: string; quantity: string; value: string; enteredUnit: string }

/** The same for a large business, which is not reckoned anew for everybody who looks within a minute. */
export const DANGEROUS_WATER: Question<DangerousReading[]> = {
  name: 'dangerous-water',
  shape: 1,
  freshForMs: 60_000,
  workOut: async (tx, businessId, now) => {
    const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
    return dangerousReadings(tx, businessId, dayIn(timeZone, now))
  },
}

/** What is dangerous now: an answer of longer ago than a minute counts for nothing here. */
export async function dangerousNow(
  tx: Transaction,
  businessId: string,
  { now, today, stored }: { now: Date; today: string; stored: StoredAnswers },
): Promise<DangerousReading[]> {
  const known = await answerTo(tx, businessId, DANGEROUS_WATER, now, { stored })
  const ageMs = known?.madeAt ? now.getTime() - Date.parse(known.madeAt) : 0
  return known && ageMs <= DANGEROUS_WATER.freshForMs ? known.answer : dangerousReadings(tx, businessId, today)
}

/** Water whose newest reading stands at or past an alarm limit of its kind of tank, the newest first. `bookedOn`: the next visit. */
async function dangerousReadings(tx: Transaction, businessId: string, today: string): Promise<DangerousReading[]> {
  const limits = alarmLimits()
  const rows = await tx.$queryRaw<Row[]>`
    WITH alarm AS (
      SELECT * FROM unnest(${limits.map(({ profile }) => profile)}::text[], ${limits.map(({ quantity }) => quantity)}::text[],
        ${limits.map(({ low }) => low)}::numeric[], ${limits.map(({ high }) => high)}::numeric[]) alarm (profile, quantity, low, high)),
    -- First by the widest limits of all kinds of tank: of tens of thousands of figures few are left for the rest.
    beyond AS MATERIALIZED (
      SELECT reading.business_id, reading.id, reading.tank_id, reading.quantity, reading.value, reading.entered_unit, reading.taken_on,
        reading.taken_at FROM reading
      JOIN (SELECT quantity, max(low) AS low, min(high) AS high FROM alarm GROUP BY quantity) widest ON widest.quantity = reading.quantity
      WHERE reading.business_id = ${businessId}::uuid AND reading.equipment_id IS NULL
        AND reading.taken_on >= ${addDays(today, -LOOK_BACK_DAYS)}::date
        AND (reading.value <= widest.low OR reading.value >= widest.high)),
    -- Each with its tank first, and only then with the limits: the other way round every tank would stand there once for each quantity.
    placed AS MATERIALIZED (
      SELECT reading.*, tank.id AS home_id, tank.name AS tank_name, tank.profile, tank.site_id
      FROM beyond reading JOIN tank home ON home.business_id = reading.business_id AND home.id = reading.tank_id
      JOIN tank ON tank.business_id = home.business_id AND tank.id = coalesce(home.merged_into_id, home.id)
      WHERE tank.archived_at IS NULL),
    suspect AS (
      SELECT reading.*, site.name AS site_name
      FROM placed reading JOIN site ON site.business_id = reading.business_id AND site.id = reading.site_id
      JOIN alarm ON alarm.profile = reading.profile AND alarm.quantity = reading.quantity
      WHERE (reading.value <= alarm.low OR reading.value >= alarm.high)
        AND NOT EXISTS (SELECT 1 FROM reading newer WHERE newer.business_id = reading.business_id AND newer.corrects_id = reading.id))
    SELECT suspect.id AS "readingId", suspect.home_id AS "tankId", suspect.tank_name AS "tankName", suspect.site_name AS "siteName",
      suspect.profile, suspect.quantity, suspect.value::text AS value, suspect.entered_unit AS "enteredUnit",
      suspect.taken_on::text AS "takenOn",
      (SELECT min(ahead.local_date)::text FROM visit ahead WHERE ahead.business_id = suspect.business_id
        AND ahead.tank_id = suspect.home_id AND ahead.state = 'booked' AND ahead.local_date >= ${today}::date) AS "bookedOn"
    FROM suspect
    WHERE NOT EXISTS (
      SELECT 1 FROM tank part JOIN reading later ON later.business_id = part.business_id AND later.tank_id = part.id
      WHERE part.business_id = suspect.business_id AND (part.id = suspect.home_id OR part.merged_into_id = suspect.home_id)
        AND later.quantity = suspect.quantity AND later.equipment_id IS NULL
        AND (later.taken_on, later.taken_at, later.id) > (suspect.taken_on, suspect.taken_at, suspect.id)
        AND NOT EXISTS (SELECT 1 FROM reading newer WHERE newer.business_id = later.business_id AND newer.corrects_id = later.id))
    ORDER BY suspect.taken_on DESC, suspect.taken_at DESC, suspect.id DESC`
  const dangerous = rows.flatMap(({ profile, quantity, value, enteredUnit, ...row }): DangerousReading[] => {
    const kind = TANK_KINDS.find((known) => known === profile)
    const known = quantityOf(quantity)
    if (!kind || !known) return []
    const unit = unitsOf(known).find((name) => name === enteredUnit)
    const { state, words } = judgeReading(profileOf(kind), known, Number(value), unit)
    return state === 'alarm' ? [{ ...row, words }] : []
  })
  return dangerous.slice(0, SHOWN_AT_MOST)
}

/** From which stored value on each kind of tank's water is dangerous; null: never on that side. */
function alarmLimits(): { profile: string; quantity: string; low: number | null; high: number | null }[] {
  return waterProfiles.flatMap(({ kind, targets }) =>
    Object.entries(targets).map(([quantity, { alarmLow, alarmHigh }]) => ({
      ...{ profile: kind, quantity, low: alarmLow ?? null, high: alarmHigh ?? null },
    })),
  )
}
