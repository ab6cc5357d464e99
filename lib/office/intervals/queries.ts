import 'server-only'
import { proposalsOf } from '../due/count-proposals'
import { ownNames } from '../due/queries'
import { type SavingView, savingView } from '../due/saving-view'
import { type Actor, inBusiness } from '../frame/actor'
import { taskName } from '../lanes/due-items'
import { classWords } from '../lanes/lane-views'
import { storedProposalSchema } from '../lanes/stored-reason'

/** One question to the owner: another interval for one task at these devices. */
export type ProposalGroup = {
  careTask: string
  taskName: string
  className: string
  /** Null: only when it is needed. */
  intervalDays: number | null
  formerDays: number | null
  /** Minor units a year over all devices; the limits are the sums of theirs, which is the widest they can be. */
  saving: SavingView
  devices: {
    equipmentId: string
    tankId: string
    tankName: string
    clientName: string
    label: string
    savingMinor: number
  }[]
}

/** A group while it is added up. */
type Summed = Omit<ProposalGroup, 'saving'> & { saving: Parameters<typeof savingView>[0] }

/** Interval changes that the records propose, the largest saving first. */
export function proposedIntervals(
  actor: Actor,
): Promise<{ groups: ProposalGroup[]; currency: string; locale: string; accepted: number }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const items = await tx.dueItem.findMany({
      where: proposalsOf(businessId),
      include: {
        equipment: { select: { label: true } },
        tank: { select: { name: true, client: { select: { name: true } } } },
      },
      orderBy: [{ careTask: 'asc' }, { equipmentId: 'asc' }],
    })
    const names = await ownNames(tx, businessId)
    const groups = new Map<string, Summed>()
    for (const item of items) {
      const { intervalDays, formerDays, saving } = storedProposalSchema.parse(item.proposal)
      const key = `${item.careTask} ${formerDays} ${intervalDays}`
      const group = groups.get(key) ?? {
        ...{ careTask: item.careTask, taskName: taskName(item.careTask, names), intervalDays, formerDays },
        className: classWords(item.equipmentClass, names),
        saving: { mean: 0, lower: 0, upper: 0, chance: 1 },
        devices: [],
      }
      group.saving = {
        mean: group.saving.mean + saving.mean,
        lower: group.saving.lower + saving.lower,
        upper: group.saving.upper + saving.upper,
        chance: Math.min(group.saving.chance, saving.chance),
      }
      group.devices.push({
        equipmentId: item.equipmentId,
        tankId: item.tankId,
        tankName: item.tank.name,
        clientName: item.tank.client.name,
        label: item.equipment.label || group.className,
        savingMinor: saving.mean,
      })
      groups.set(key, group)
    }
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    return {
      groups: [...groups.values()]
        .sort((a, b) => b.saving.mean - a.saving.mean || (a.careTask < b.careTask ? -1 : 1))
        .map((group) => ({ ...group, saving: savingView(group.saving) })),
      currency: business.currency,
      locale: business.locale,
      accepted: await tx.intervalChoice.count({ where: { businessId, decision: 'accepted' } }),
    }
  })
}

/** What a need costs more at one client, as it stands now; zeros where nothing was said. Minor units. */
export function clientCostNow(
  actor: Actor,
  clientId: string,
): Promise<{ travelMinor: number; goodwillMinor: number; animalsPerDayMinor: number; currency: string }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const newest = await tx.clientCost.findFirst({
      where: { businessId, clientId },
      orderBy: [{ madeAt: 'desc' }, { id: 'desc' }],
    })
    const { currency } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { currency: true } })
    return {
      travelMinor: newest?.travelMinor ?? 0,
      goodwillMinor: newest?.goodwillMinor ?? 0,
      animalsPerDayMinor: newest?.animalsPerDayMinor ?? 0,
      currency,
    }
  })
}
