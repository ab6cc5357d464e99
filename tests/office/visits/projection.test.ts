import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { projectVisit } from '@/lib/office/visits/projection'
import { NOTHING_BEFORE } from '@/lib/office/visits/record'
import { type VisitCommand, visitCommandSchema } from '@/lib/office/visits/schema'
import { switchState } from '@/lib/office/visits/states'

const [equipmentId, businessId, visitId] = [newId(), newId(), newId()]
const modes = ['neck-coated', 'out-of-tune', 'air-line-restricted'].map((name) => `protein-skimmer/${name}`)
const pair = fc.constantFrom(...modes).map((mode) => ({ equipmentId, mode }))
const looks = fc
  .uniqueArray(fc.tuple(pair, fc.constantFrom('ok', 'needs_it', 'failed', 'not_looked')), {
    minLength: 1,
    maxLength: 3,
    selector: ([{ mode }]) => mode,
  })
  .map((all) => all.map(([at, asFound]) => ({ ...at, asFound, depth: 'running' })))
const devices = fc.uniqueArray(fc.constantFrom('return-pump', 'heater', 'auto-top-up'), { minLength: 1 })

/** Whatever can be said, with clocks that meet and devices that share a moment. */
const said = fc.oneof(
  fc.constant({ kind: 'visit.arrive' }),
  looks.map((made) => ({ kind: 'visit.record-looks', looks: made })),
  fc.uniqueArray(pair, { selector: ({ mode }) => mode }).map((pairs) => ({ kind: 'visit.all-running', pairs })),
  pair.map((at) => ({ kind: 'visit.suspect', ...at, words: '' })),
  pair.map((at) => ({
    kind: 'visit.record-report',
    ...at,
    asFound: 'failed',
    reportedOn: null,
    sure: false,
    words: '',
  })),
  devices.map((kinds) => ({ kind: 'visit.switch-off', devices: kinds })),
  devices.map((kinds) => ({ kind: 'visit.switch-on', devices: kinds })),
  fc.constantFrom('client', 'us').map((audience) => ({ kind: 'visit.note', audience, text: 'words', replaces: [] })),
  looks.map(([one]) => ({ kind: 'visit.correct', correction: { of: 'finding', look: one } })),
  fc
    .integer({ min: 1, max: 1440 })
    .map((minutes) => ({ kind: 'visit.leave', outcome: 'done', minutes, leavingCheckDone: [] })),
)
const command = fc
  .tuple(
    said,
    fc.integer({ min: 0, max: 5 }),
    fc.constantFrom('a', 'b'),
    fc.integer({ min: 0, max: 9 }),
    fc.integer({ min: -60, max: 60 }),
  )
  .map(([words, minute, deviceId, deviceSeq, offsetS]) =>
    visitCommandSchema.parse({
      ...words,
      ...{ id: newId(), businessId, visitId, version: 1, deviceId, deviceSeq, clockOffsetMs: offsetS * 1000 },
      madeAt: new Date(Date.UTC(2026, 10, 26, 9, minute)).toISOString(),
    }),
  )
const story = fc.array(command, { maxLength: 25 })

describe('the record of a visit', () => {
  test('is the same in any order and with any doubles', () => {
    fc.assert(
      fc.property(
        story.chain((commands) => {
          const all = commands.length === 0 ? fc.constant<VisitCommand[]>([]) : fc.array(fc.constantFrom(...commands))
          return fc.tuple(
            fc.constant(commands),
            all.chain((doubles) =>
              fc.shuffledSubarray([...commands, ...doubles], { minLength: commands.length + doubles.length }),
            ),
          )
        }),
        ([commands, delivered]) => {
          expect(projectVisit(NOTHING_BEFORE, delivered)).toEqual(projectVisit(NOTHING_BEFORE, commands))
        },
      ),
      { numRuns: 300 },
    )
  })

  test('never lets a tap for the rest speak for a mode that was looked at, suspected or reported', () => {
    fc.assert(
      fc.property(story, (commands) => {
        const record = projectVisit(NOTHING_BEFORE, commands)
        const doubted = new Set([...record.suspicions, ...record.reports].map(({ mode }) => mode))
        const looked = new Set(
          commands.flatMap((one) =>
            one.kind === 'visit.record-looks'
              ? one.looks.map(({ mode }) => mode)
              : one.kind === 'visit.correct' && one.correction.of === 'finding'
                ? [one.correction.look.mode]
                : [],
          ),
        )
        for (const finding of record.findings) {
          if (finding.fromTap) expect(doubted.has(finding.mode) || looked.has(finding.mode)).toBe(false)
          else expect(looked.has(finding.mode)).toBe(true)
        }
      }),
    )
  })

  test('has no answer that nobody gave', () => {
    expect(
      visitCommandSchema.safeParse({
        ...{
          id: newId(),
          businessId,
          visitId,
          version: 1,
          deviceId: 'a',
          deviceSeq: 1,
          madeAt: '2026-11-26T09:00:00Z',
        },
        kind: 'visit.record-looks',
        looks: [{ equipmentId, mode: modes[0] }],
      }).success,
    ).toBe(false)
    expect(projectVisit(NOTHING_BEFORE, [])).toMatchObject({ findings: [], outcome: null, minutes: null })
  })
})

test('what was switched on again and off again is off; on a second time moves to the end', () => {
  const step = (on: boolean, ...kinds: string[]) => ({ on, devices: kinds })
  expect(switchState([step(false, 'heater', 'return-pump'), step(true, 'heater'), step(false, 'heater')])).toEqual({
    switchedOff: ['heater', 'return-pump'],
    switchedOn: [],
  })
  expect(
    switchState([
      step(false, 'heater', 'return-pump'),
      step(true, 'heater'),
      step(true, 'return-pump'),
      step(true, 'heater'),
    ]).switchedOn,
  ).toEqual(['return-pump', 'heater'])
})
