import 'server-only'
import * as booking from '../booking/commands'
import * as calls from '../calls/commands'
import * as clientRecord from '../client-record/commands'
import * as clients from '../clients/commands'
import * as faults from '../faults/commands'
import * as followUps from '../follow-ups/commands'
import type { Command } from '../frame/command'
import * as intervals from '../intervals/commands'
import * as takeBack from '../intervals/take-back'
import * as lots from '../lots/commands'
import * as money from '../money/commands'
import * as oldRecords from '../old-records/commands'
import * as parts from '../parts/commands'
import * as access from '../people/access-commands'
import * as persons from '../people/person-commands'
import * as photos from '../photos/commands'
import * as refills from '../refills/commands'
import * as settings from '../settings/commands'
import * as tanks from '../tanks/commands'
import { visitCommands } from '../visits/commands'

const rooms = [
  ...[booking, calls, clientRecord, clients, faults, followUps, intervals, takeBack, lots, money, oldRecords, parts],
  ...[access, persons, photos, refills, settings, tanks],
]

/** Every command of the office by the kind under which it stands in the log: what it takes, who may, and what it does. */
export const COMMANDS: ReadonlyMap<string, Command> = new Map(
  [...rooms.flatMap((room) => Object.values(room)), ...visitCommands]
    .filter(isCommand)
    .map((command) => [command.kind, command]),
)

function isCommand(value: unknown): value is Command {
  return typeof value === 'function' && 'kind' in value && 'schema' in value && 'may' in value
}
