import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'

/** After how many days without a backup the owner is told. Common practice, no source. */
export const BACKUP_TOO_OLD_DAYS = 3

/**
 * When the installation was last backed up, and whether that is too long ago; `finishedAt` is an ISO instant, null for
 * never. Only the office may ask.
 */
export function lastBackup(actor: Actor, now = new Date()): Promise<{ finishedAt: string | null; tooOld: boolean }> {
  return inBusiness(actor, async (tx) => {
    const run = await tx.backupRun.findFirst({ orderBy: { finishedAt: 'desc' }, select: { finishedAt: true } })
    const tooOld = !run || now.getTime() - run.finishedAt.getTime() > BACKUP_TOO_OLD_DAYS * 86_400_000
    return { finishedAt: run?.finishedAt.toISOString() ?? null, tooOld }
  })
}
