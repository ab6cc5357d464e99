import 'server-only'
import { defineCommand } from '../frame/command'
import { done } from '../frame/result'
import { PAYMENTS } from './money-command'
import { bookChoicesSchema } from './schema'

/** When the business reports tax, and how its files write decimals. */
export const chooseBooks = defineCommand(
  { ...PAYMENTS, kind: 'books.choose', may: 'books.export', schema: bookChoicesSchema },
  async ({ tx, actor, audit }, { taxBasis, fileDecimals }) => {
    const where = { id: actor.businessId }
    const before = await tx.business.findUniqueOrThrow({ where, select: { taxBasis: true, fileDecimals: true } })
    await tx.business.update({ where, data: { taxBasis, fileDecimals } })
    await audit('business', actor.businessId, 'choose-books', before, { taxBasis, fileDecimals })
    return done({ taxBasis, fileDecimals })
  },
)
