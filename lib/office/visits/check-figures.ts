import 'server-only'
import { refused } from '../frame/result'
import { exchangesDevice } from './looking'
import type { CommandOf, VisitCommand } from './schema'
import { misfit, type Refusal, type VisitContext } from './visit-context'
import { typedReading } from './water'
import { waterChanged } from './water-change'

/** Figures that can be, in a unit of their quantity. */
export function checkReadings({ readings }: Pick<CommandOf<'visit.readings'>, 'readings'>): Refusal {
  for (const reading of readings) {
    const stored = typedReading(reading)
    if ('wrong' in stored) return refused('does-not-fit', stored.wrong)
  }
  return null
}

/** Water that the tank can hold, and new water that can be. */
export function checkWaterChange({ visit }: VisitContext, command: CommandOf<'visit.water-change'>): Refusal {
  const changed = waterChanged(command, visit.tank.volumeL.toNumber())
  return 'wrong' in changed ? refused('does-not-fit', changed.wrong) : null
}

/** A part off the van, where it names one that there is. */
export async function checkPart(
  { tx, actor }: VisitContext,
  { priceItemId = null, partId = null }: { priceItemId?: string | null; partId?: string | null | undefined },
): Promise<Refusal> {
  const { businessId } = actor
  if (priceItemId !== null && !(await tx.priceItem.findFirst({ where: { businessId, id: priceItemId } })))
    return refused('does-not-fit', 'This part is not in the price list. Reload the page, or write it in words.')
  if (partId !== null && !(await tx.part.findFirst({ where: { businessId, id: partId } })))
    return refused('does-not-fit', 'This part is not in the list of parts. Reload the page, or write it in words.')
  return null
}

const NOT_THERE = refused('not-found', 'What you correct is not part of this visit. Reload the page.')

/** A correction names something of this visit, and says of it what it may say. */
export async function checkCorrection(
  context: VisitContext,
  { correction }: CommandOf<'visit.correct'>,
): Promise<Refusal> {
  const { record } = context
  const isThere = (rows: readonly { id: string }[], targetId: string) => rows.some(({ id }) => id === targetId)
  switch (correction.of) {
    case 'finding':
      return misfit(context, [correction.look])
    case 'reading': {
      // The record has the correction in it already: what it corrected must be of the same quantity.
      const first = context.rows.readings.find(({ id }) => id === correction.targetId)
      if (!isThere(record.readings, correction.targetId) || !first) return NOT_THERE
      if (first.quantity !== correction.quantity)
        return refused('does-not-fit', 'A reading is corrected by one of the same quantity.')
      return checkReadings({ readings: [correction] })
    }
    case 'renewal':
      return isThere(record.renewals, correction.targetId) ? null : NOT_THERE
    case 'part':
      return isThere(record.parts, correction.targetId) ? checkPart(context, correction) : NOT_THERE
  }
}

/** What stands in rows of its own beside the record is put right where it stands. */
export function checkTakeBack(context: VisitContext, { takesBack }: CommandOf<'visit.take-back'>): Refusal {
  const command = context.said.find(({ id }) => id === takesBack)
  if (!command) return refused('not-found', 'What you take back is not part of this visit. Reload the page.')
  const where = ELSEWHERE[command.kind]
  if (where) return refused('does-not-fit', where)
  if (command.kind === 'visit.work' && exchangesDevice(command))
    return refused('does-not-fit', 'A device was exchanged. Put that right on the tank’s page, under its equipment.')
  return null
}

const ELSEWHERE: Partial<Record<VisitCommand['kind'], string>> = {
  'visit.start': 'A visit that was begun cannot be undone. End it as cut short and say why.',
  'visit.take-back': 'Something taken back is said again, not taken back twice.',
  'visit.device-readings': 'Write the right figure: of what is measured on a device the newest counts.',
  'visit.levels': 'Write the right level: of each container the newest counts.',
  'visit.use-lots': 'Put that right on the lot’s own page.',
  'visit.promise': 'Put that right on the tank’s page, under what was promised.',
  'visit.promise-kept': 'Put that right on the tank’s page, under what was promised.',
  'visit.photo': 'Withdraw the photo on the tank’s page.',
}
