import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { failureModes, findClass, findMode } from '@/lib/trade'
import { addDays } from '../frame/days'

/** Things of the last so many days wait for a decision; what is older is found on the tank's own page. */
const LOOK_BACK_DAYS = 60
const SHOWN_AT_MOST = 25

export type LeftEarly = {
  visitId: string
  tankId: string
  tankName: string
  siteName: string
  date: string
  technician: string
  reason: string
  noAccess: boolean
}

/**
 * Visits cut short, or where nobody got in, after which the tank has neither been seen nor booked or moved again. What stood in the plan
 * before answers nothing: by its agreement a tank always has a next visit.
 */
export function visitsLeftEarly(tx: Transaction, businessId: string, today: string): Promise<LeftEarly[]> {
  return tx.$queryRaw<LeftEarly[]>`
    SELECT visit.id AS "visitId", visit.tank_id AS "tankId", tank.name AS "tankName", site.name AS "siteName",
      visit.local_date::text AS date, coalesce(person.name, '') AS technician,
      coalesce(own.left_early_reason, '') AS reason, coalesce(visit.outcome, '') = 'no_access' AS "noAccess"
    FROM visit
    JOIN tank ON tank.business_id = visit.business_id AND tank.id = visit.tank_id
    JOIN site ON site.business_id = visit.business_id AND site.id = visit.site_id
    LEFT JOIN person ON person.business_id = visit.business_id AND person.id = visit.technician_id
    LEFT JOIN visit_private own ON own.business_id = visit.business_id AND own.visit_id = visit.id
    WHERE visit.business_id = ${businessId}::uuid AND visit.state = 'done'
      AND (visit.outcome IN ('cut_short', 'no_access') OR coalesce(own.left_early_reason, '') <> '')
      AND visit.local_date BETWEEN ${addDays(today, -LOOK_BACK_DAYS)}::date AND ${today}::date
      AND tank.archived_at IS NULL AND tank.merged_into_id IS NULL
      AND NOT EXISTS (
        SELECT 1 FROM visit later WHERE later.business_id = visit.business_id AND later.tank_id = visit.tank_id
          AND later.id <> visit.id
          AND ((later.state = 'under_way' AND later.local_date >= visit.local_date)
            OR (later.state = 'booked' AND later.local_date >= visit.local_date
              AND (later.created_at > coalesce(visit.left_at, visit.created_at) OR EXISTS (
                SELECT 1 FROM audit WHERE audit.business_id = visit.business_id AND audit.entity = 'visit'
                  AND audit.entity_id = later.id AND audit.at > coalesce(visit.left_at, visit.created_at))))
            OR (later.state = 'done' AND later.outcome IS DISTINCT FROM 'no_access' AND later.local_date > visit.local_date)))
    ORDER BY visit.local_date, visit.id LIMIT ${SHOWN_AT_MOST}`
}

export type UnsafeFinding = {
  findingId: string
  tankId: string
  tankName: string
  siteName: string
  device: string
  mode: string
  failed: boolean
  foundOn: string
  words: string
  bookedOn: string | null
}

/**
 * Faults that can hurt people, animals or the building, found and since then neither put right (renewed, replaced)
 * nor looked at and found fine. `bookedOn`: the next visit, where there is one.
 */
export async function unsafeFindings(tx: Transaction, businessId: string, today: string): Promise<UnsafeFinding[]> {
  const modes = failureModes.filter((mode) => mode.safetyCritical).map((mode) => mode.slug)
  const rows = await tx.$queryRaw<
    (Omit<UnsafeFinding, 'device' | 'mode'> & { slug: string; label: string | null; classSlug: string })[]
  >`
    SELECT finding.id AS "findingId", finding.tank_id AS "tankId", tank.name AS "tankName", site.name AS "siteName",
      equipment.label, finding.equipment_class AS "classSlug", finding.failure_mode AS slug,
      finding.as_found = 'failed' AS failed, finding.found_on::text AS "foundOn",
      coalesce(nullif(finding.symptom, ''), finding.cause) AS words,
      (SELECT min(ahead.local_date)::text FROM visit ahead WHERE ahead.business_id = finding.business_id
        AND ahead.tank_id = finding.tank_id AND ahead.state = 'booked' AND ahead.local_date >= ${today}::date) AS "bookedOn"
    FROM finding
    JOIN tank ON tank.business_id = finding.business_id AND tank.id = finding.tank_id
    JOIN site ON site.business_id = tank.business_id AND site.id = tank.site_id
    LEFT JOIN equipment ON equipment.business_id = finding.business_id AND equipment.id = finding.equipment_id
    WHERE finding.business_id = ${businessId}::uuid AND finding.failure_mode = ANY (${modes})
      AND finding.as_found IN ('needs_it', 'failed') AND finding.found_on >= ${addDays(today, -LOOK_BACK_DAYS)}::date
      AND tank.archived_at IS NULL AND tank.merged_into_id IS NULL
      AND (equipment.id IS NULL OR equipment.removed_on IS NULL)
      AND NOT EXISTS (SELECT 1 FROM finding newer WHERE newer.business_id = finding.business_id AND newer.corrects_id = finding.id)
      AND NOT EXISTS (
        SELECT 1 FROM renewal WHERE renewal.business_id = finding.business_id AND renewal.equipment_id = finding.equipment_id
          AND renewal.failure_mode = finding.failure_mode AND NOT renewal.is_partial
          AND (renewal.renewed_on > finding.found_on OR (renewal.renewed_on = finding.found_on
            AND (renewal.visit_id = finding.visit_id OR renewal.made_at >= finding.made_at)))
          AND NOT EXISTS (SELECT 1 FROM renewal newer WHERE newer.business_id = renewal.business_id AND newer.corrects_id = renewal.id))
      AND NOT EXISTS (
        SELECT 1 FROM finding later WHERE later.business_id = finding.business_id AND later.tank_id = finding.tank_id
          AND later.failure_mode = finding.failure_mode AND later.equipment_id IS NOT DISTINCT FROM finding.equipment_id
          AND later.as_found <> 'not_looked' AND (later.found_on, later.made_at, later.id) > (finding.found_on, finding.made_at, finding.id)
          AND NOT EXISTS (SELECT 1 FROM finding newer WHERE newer.business_id = later.business_id AND newer.corrects_id = later.id))
    ORDER BY finding.as_found = 'failed' DESC, finding.found_on, finding.id LIMIT ${SHOWN_AT_MOST}`
  return rows.map(({ slug, label, classSlug, ...row }) => ({
    ...row,
    device: label ?? findClass(classSlug)?.name ?? classSlug,
    mode: findMode(slug)?.name ?? slug,
  }))
}

export type AskedVisit = {
  requestId: string
  tankName: string
  siteName: string
  clientName: string
  words: string
  askedAt: string
}

/** Requests of clients that nobody has booked or answered, the oldest first. */
export function openRequests(tx: Transaction, businessId: string): Promise<AskedVisit[]> {
  return tx.$queryRaw<AskedVisit[]>`
    SELECT request.id AS "requestId", tank.name AS "tankName", site.name AS "siteName", client.name AS "clientName", request.words,
      to_char(request.asked_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS "askedAt"
    FROM visit_request request
    JOIN client ON client.business_id = request.business_id AND client.id = request.client_id
    JOIN tank ON tank.business_id = request.business_id AND tank.id = request.tank_id
    JOIN site ON site.business_id = tank.business_id AND site.id = tank.site_id
    WHERE request.business_id = ${businessId}::uuid AND request.state = 'open'
    ORDER BY request.asked_at, request.id LIMIT ${SHOWN_AT_MOST}`
}

export type Promised = {
  id: string
  what: string
  dueOn: string
  /** Whole days past the day it was promised for; 0 and below: not late. */
  daysLate: number
  person: string
  tankId: string
  tankName: string
  siteName: string
}

/** Promises not kept yet that are late or due within a week, the most urgent first, by the business's own day. */
export function openPromises(tx: Transaction, businessId: string, today: string): Promise<Promised[]> {
  return tx.$queryRaw<Promised[]>`
    SELECT promise.id, promise.what, promise.due_on::text AS "dueOn", ${today}::date - promise.due_on AS "daysLate",
      coalesce(person.name, '') AS person, promise.tank_id AS "tankId", tank.name AS "tankName", site.name AS "siteName"
    FROM follow_up promise
    JOIN tank ON tank.business_id = promise.business_id AND tank.id = promise.tank_id
    JOIN site ON site.business_id = tank.business_id AND site.id = tank.site_id
    LEFT JOIN person ON person.business_id = promise.business_id AND person.id = promise.person_id
    WHERE promise.business_id = ${businessId}::uuid AND promise.done_at IS NULL AND promise.due_on <= ${addDays(today, 7)}::date
    ORDER BY promise.due_on, promise.id LIMIT ${SHOWN_AT_MOST}`
}

export type RefusedCommand = { id: string; kind: string; person: string; reason: string; receivedAt: string }

/** What a phone sent and the server could not take, of the last two weeks: its author has to do it again. */
export function refusedCommands(tx: Transaction, businessId: string, now: Date): Promise<RefusedCommand[]> {
  const since = new Date(now.getTime() - 14 * 86_400_000)
  return tx.$queryRaw<RefusedCommand[]>`
    SELECT command.id, command.kind, coalesce(person.name, '') AS person, command.reason,
      to_char(command.received_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS"Z"') AS "receivedAt"
    FROM command LEFT JOIN person ON person.business_id = command.business_id AND person.id = command.person_id
    WHERE command.business_id = ${businessId}::uuid AND command.status = 'refused' AND command.received_at >= ${since}
    ORDER BY command.received_at DESC, command.id DESC LIMIT 20`
}
