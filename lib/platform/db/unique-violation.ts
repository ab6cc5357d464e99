import 'server-only'
import { Prisma } from '@/generated/prisma/client'

/** Whether a write was refused because another row already holds the one value that `column` may have once. */
export function isUniqueViolation(error: unknown, column: string): boolean {
  if (!(error instanceof Prisma.PrismaClientKnownRequestError) || error.code !== 'P2002') return false
  // Where the columns stand depends on the driver: in `target`, or in the cause that the driver gives.
  return JSON.stringify(error.meta ?? {}).includes(column)
}
