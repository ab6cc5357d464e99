import 'server-only'
import pino from 'pino'

/** The one log, to standard error so that command lines keep standard output for their answer. */
export const log = pino(
  {
    level: process.env.LOG_LEVEL ?? 'info',
    redact: ['password', '*.password', 'passwordHash', '*.passwordHash', 'token', '*.token'],
    base: undefined,
  },
  pino.destination(2),
)
