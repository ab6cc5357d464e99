import { v5 } from 'uuid'
import { firstSlug } from '@/lib/trade/catalogue/formerly'

/**
 * The id of a row that a command makes beside others. It follows from the command, so that phone and server give the same
 * row the same id without asking each other; a command that makes one row gives it its own id. A failure mode enters by the first
 * spelling of its slug: read again after a renaming the command gives its rows the ids they have.
 */
export function rowId(commandId: string, key: string): string {
  return v5(key, commandId)
}

export const lookRowId = (commandId: string, pair: { equipmentId: string; mode: string }) =>
  rowId(commandId, `look ${pair.equipmentId} ${firstSlug(pair.mode)}`)
export const renewalRowId = (commandId: string, mode: string) => rowId(commandId, `renewal ${firstSlug(mode)}`)
export const readingRowId = (commandId: string, place: number) => rowId(commandId, `reading ${place}`)
export const levelRowId = (commandId: string, reservoirId: string) => rowId(commandId, `level ${reservoirId}`)
export const deviceReadingRowId = (commandId: string, at: { equipmentId: string; quantity: string }) =>
  rowId(commandId, `device reading ${at.equipmentId} ${at.quantity}`)
export const lotRowId = (commandId: string, lotId: string) => rowId(commandId, `lot ${lotId}`)
/** The device that a task put in the place of another. */
export const newDeviceId = (commandId: string) => rowId(commandId, 'device')
