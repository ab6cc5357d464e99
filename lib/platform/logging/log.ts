import 'server-only'
import pino from 'pino'

/**
 * The one log, to standard error so that command lines keep standard output for their answer. A program that talks to a person at a
 * terminal writes there what went wrong only: what it did, it says in words.
 */
export const log = pino(
  {
    level: process.env.LOG_LEVEL ?? (process.env.TANKROUND_AT_TERMINAL ? 'warn' : 'info'),
    redact: ['password', '*.password', 'passwordHash', '*.passwordHash', 'token', '*.token'],
    base: undefined,
  },
  pino.destination(2),
)
