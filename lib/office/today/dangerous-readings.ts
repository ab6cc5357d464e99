import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { judgeReading, profileOf, TANK_KINDS, unitsOf } from '@/lib/trade'
import { addDays } from '../clients/days'
import { quantityOf, SHOWN_TEMPERATURE } from '../visits/water'

/** The newest figure counts however old it is, up to here: water that was dangerous and never measured again still waits. */
const LOOK_BACK_DAYS = 60
const SHOWN_AT_MOST = 50

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

/** Water whose newest reading stands at or past an alarm limit of its kind of tank, the newest first. `bookedOn`: the next visit. */
export async function dangerousReadings(
  tx: Transaction,
  businessId: string,
  today: string,
): Promise<DangerousReading[]> {
  const rows = await tx.$queryRaw<Row[]>`
    SELECT newest.id AS "readingId", tank.id AS "tankId", tank.name AS "tankName", site.name AS "siteName", tank.profile,
      newest.quantity, newest.value::text AS value, newest.entered_unit AS "enteredUnit", newest.taken_on::text AS "takenOn",
      (SELECT min(ahead.local_date)::text FROM visit ahead WHERE ahead.business_id = tank.business_id
        AND ahead.tank_id = tank.id AND ahead.state = 'booked' AND ahead.local_date >= ${today}::date) AS "bookedOn"
    FROM (
      SELECT DISTINCT ON (coalesce(home.merged_into_id, home.id), reading.quantity) reading.*,
        coalesce(home.merged_into_id, home.id) AS home_id
      FROM reading JOIN tank home ON home.business_id = reading.business_id AND home.id = reading.tank_id
      WHERE reading.business_id = ${businessId}::uuid AND reading.equipment_id IS NULL AND reading.quantity <> ${SHOWN_TEMPERATURE}
        AND reading.taken_on >= ${addDays(today, -LOOK_BACK_DAYS)}::date
        AND NOT EXISTS (SELECT 1 FROM reading newer WHERE newer.business_id = reading.business_id AND newer.corrects_id = reading.id)
      ORDER BY coalesce(home.merged_into_id, home.id), reading.quantity, reading.taken_on DESC, reading.taken_at DESC, reading.id DESC
    ) newest
    JOIN tank ON tank.business_id = newest.business_id AND tank.id = newest.home_id
    JOIN site ON site.business_id = tank.business_id AND site.id = tank.site_id
    WHERE tank.archived_at IS NULL
    ORDER BY newest.taken_on DESC, newest.taken_at DESC, newest.id DESC`
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
