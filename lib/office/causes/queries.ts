import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { DiagnosisModel } from '@/lib/science'
import {
  type FaultFamily,
  type FaultStep,
  familiesFor,
  findCaution,
  findClass,
  findFamily,
  findMode,
  findTask,
  inTradeWords,
  modelOf,
  TANK_KINDS,
  type TankKind,
  type TradeDialect,
  tradeDialectOf,
} from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import type { SignView } from './schema'

/** A sign that this tank can show, and where. */
export type ListedSign = { sign: string; words: string; equipmentId: string; device: string }

type Place = {
  visitId: string
  tankName: string
  tankKind: TankKind | undefined
  dialect: TradeDialect
  devices: { id: string; equipmentClass: string; label: string }[]
}

/** The signs of the visit's tank, those of its devices first. Null where there is no such visit in this business. */
export function signsAtVisit(actor: Actor, visitId: string): Promise<{ signs: ListedSign[] } | null> {
  return inBusiness(actor, async (tx) => {
    const place = await placeOf(tx, actor.businessId, visitId)
    return place && { signs: signsAt(place) }
  })
}

function signsAt({ tankKind, devices, dialect }: Place): ListedSign[] {
  const fitted = devices.map(({ equipmentClass }) => equipmentClass)
  const families = familiesFor({ ...(tankKind && { tankKind }), fitted })
  return families.flatMap(({ slug, sign, equipmentClass }): ListedSign[] => {
    const words = inTradeWords(sign, dialect)
    const own = devices.filter((device) => device.equipmentClass === equipmentClass)
    if (own.length === 0) return [{ sign: slug, words, equipmentId: '', device: '' }]
    return own.map(({ id, label }) => ({ sign: slug, words, equipmentId: id, device: own.length > 1 ? label : '' }))
  })
}

export type SignPage = { view: SignView; model: DiagnosisModel; equipmentId: string }

/** One sign at the visit's tank, with its causes as the business's own cases have moved them. Null where there is no such visit or sign here. */
export function signAtVisit(
  actor: Actor,
  { visitId, sign, equipmentId }: { visitId: string; sign: string; equipmentId: string },
): Promise<SignPage | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const place = await placeOf(tx, businessId, visitId)
    const family = findFamily(sign)
    if (!place || !family) return null
    const listed = signsAt(place).filter((one) => one.sign === sign)
    const device = listed.find((one) => one.equipmentId === equipmentId) ?? listed[0]
    if (!device) return null
    const cases = await casesOf(tx, businessId, sign)
    const fitted = place.devices.map(({ equipmentClass }) => equipmentClass)
    const at = { ...(place.tankKind && { tankKind: place.tankKind }), fitted }
    const model = modelOf(family, at, cases)
    return { view: viewOf(family, model, place, device.equipmentId), model, equipmentId: device.equipmentId }
  })
}

/** What was behind this sign before, in this business: a row a case. */
function casesOf(tx: Transaction, businessId: string, sign: string): Promise<{ cause: string }[]> {
  return tx.faultCase.findMany({
    where: { businessId, sign, isTakenBack: false, correctedBy: { is: null } },
    select: { cause: true },
    orderBy: { id: 'asc' },
  })
}

/** The devices of a tank at which a cause's failure mode can show: the one the search is about alone, where it is of that class. */
export function devicesOfCause<Device extends { id: string; equipmentClass: string }>(
  devices: readonly Device[],
  mode: string | undefined,
  equipmentId: string,
): Device[] {
  const equipmentClass = mode && findMode(mode)?.equipmentClass
  const own = devices.filter((device) => device.equipmentClass === equipmentClass)
  return own.some(({ id }) => id === equipmentId) ? own.filter(({ id }) => id === equipmentId) : own
}

async function placeOf(tx: Transaction, businessId: string, visitId: string): Promise<Place | null> {
  const visit = await tx.visit.findFirst({
    where: { businessId, id: visitId },
    select: {
      business: { select: { country: true } },
      tank: {
        select: {
          name: true,
          profile: true,
          equipments: {
            where: { removedOn: null },
            select: { id: true, equipmentClass: true, label: true },
            orderBy: [{ equipmentClass: 'asc' }, { label: 'asc' }, { id: 'asc' }],
          },
        },
      },
    },
  })
  if (!visit) return null
  const { tank, business } = visit
  return {
    ...{ visitId, tankName: tank.name, devices: tank.equipments },
    tankKind: TANK_KINDS.find((kind) => kind === tank.profile),
    dialect: tradeDialectOf(business.country),
  }
}

function viewOf(family: FaultFamily, model: DiagnosisModel, place: Place, equipmentId: string): SignView {
  const { dialect, devices } = place
  const words = (text: string) => inTradeWords(text, dialect)
  const cautionsOf = ({ cautions }: Pick<FaultStep, 'cautions'>) =>
    cautions.map((slug) => words(findCaution(slug).text))
  const stepOf = (step: FaultStep) => ({ text: words(step.text), cautions: cautionsOf(step) })
  const listed = new Set(signsAt(place).map((one) => one.sign))
  const seen = new Map(model.causes.map((cause) => [cause.slug, cause.seen ?? 0]))
  const asked = new Set(model.checks.map(({ slug }) => slug))
  return {
    sign: family.slug,
    words: words(family.sign),
    lookAgainDays: family.lookAgainDays,
    firstSteps: family.firstSteps.map(stepOf),
    beforeLeaving: family.beforeLeaving.map(stepOf),
    causes: family.causes
      .filter(({ slug }) => seen.has(slug))
      .map(({ slug, name, remedy, minutes, needs, last, mode, task, leadsTo, ...cause }) => {
        const next = leadsTo === undefined || !listed.has(leadsTo) ? null : findFamily(leadsTo)
        return {
          ...{ slug, minutes, needs, last, name: words(name), remedy: words(remedy), cautions: cautionsOf(cause) },
          seen: seen.get(slug) ?? 0,
          devices: devicesOfCause(devices, mode, equipmentId).map(({ id, label, equipmentClass }) => ({
            id,
            label: label || words(findClass(equipmentClass)?.name ?? equipmentClass),
          })),
          exchanges: task !== undefined && (findTask(task)?.replacesDevice ?? false),
          leadsTo: next && { sign: next.slug, words: words(next.sign) },
        }
      }),
    checks: family.checks
      .filter(({ slug }) => asked.has(slug))
      .map(({ slug, question, minutes, needs, running, answers, ...check }) => ({
        ...{ slug, minutes, needs, running, question: words(question), cautions: cautionsOf(check) },
        answers: answers.map((answer) => ({
          slug: answer.slug,
          words: words(answer.words),
          now: answer.now === undefined ? null : words(answer.now),
          ends: answer.ends ?? false,
        })),
      })),
    setUps: family.setUps.map(({ slug, name, minutes, ...setUp }) => ({
      ...{ slug, minutes, name: words(name), cautions: cautionsOf(setUp) },
    })),
  }
}
