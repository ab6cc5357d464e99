import { describe, expect, test } from 'vitest'
import { planImport } from '@/lib/office/old-records/plan-import'
import { sampleFiles, sampleTruth } from '../../reference/old-records/sample'
import { asExisting } from './as-existing'

// Source: the sample's truth.json and README (row counts written by the simulation that made the files). Line numbers: counted
// with `grep -n` and `awk` on visits.csv, that is by physical lines; not by the reader under test.
const WRONG_LINES: [number, RegExp][] = [
  [672, /31\/02\/2024.*no day 31/],
  [709, /no tank called “Tank nobody has 1”/],
  [747, /9999 minutes/],
  [786, /“soon” is not a date/],
  [824, /no tank called “Tank nobody has 4”/],
  [862, /9999 minutes/],
  [899, /“soon” is not a date/],
  [936, /no tank called “Tank nobody has 7”/],
  [973, /9999 minutes/],
]

describe('the old-records sample', () => {
  const plan = planImport(sampleFiles(), { gallon: 'us' })

  test('every good row arrives, repeats are counted once, wrong rows are named by line', () => {
    const truth = sampleTruth().rows
    const { clients, tanks, equipment, visits } = plan.report
    expect(clients).toEqual({ added: truth.clients, repeated: truth.client_duplicates, rejected: [] })
    expect(tanks).toEqual({ added: truth.tanks, repeated: 0, rejected: [] })
    expect(equipment).toEqual({ added: truth.equipment, repeated: 0, rejected: [] })
    expect(visits.repeated).toBe(truth.visit_row_duplicates)
    expect(visits.rejected.map((each) => each.line)).toEqual(WRONG_LINES.map(([line]) => line))
    for (const [index, [, reason]] of WRONG_LINES.entries()) expect(visits.rejected[index]?.reason).toMatch(reason)
    expect(visits.added + visits.repeated + visits.rejected.length).toBe(truth.visit_rows)
    expect(plan.visits.reduce((sum, visit) => sum + visit.rows.length, 0)).toBe(visits.added)
    expect(plan).toMatchObject({ ready: true, refusals: [], questions: [], warnings: [] })
  })

  test('clients keep the spelling that is not all capitals, with 38 sites and their coordinates', () => {
    expect(plan.clients).toHaveLength(38)
    expect(plan.clients.every((client) => client.name !== client.name.toUpperCase())).toBe(true)
    expect(plan.sites.filter((site) => site.latitude !== null && site.address !== null)).toHaveLength(38)
  })

  test('volumes add up to 20,730 litres within 10, with US gallons; imperial ones give more', () => {
    const total = (gallon: 'us' | 'imperial') =>
      planImport(sampleFiles(), { gallon }).tanks.reduce((sum, tank) => sum + (tank.volumeL ?? 0), 0)
    expect(Math.abs(total('us') - 20_730)).toBeLessThanOrEqual(10)
    expect(total('imperial')).toBeGreaterThan(20_900)
  })

  test('the gallon is asked about when nobody has said which', () => {
    const asked = planImport(sampleFiles())
    expect(asked.ready).toBe(false)
    expect(asked.questions.map((question) => question.about)).toEqual(['gallon'])
  })

  test('looks per mode are those of the truth, give or take the rows that are wrong', () => {
    const looks: Record<string, number> = {}
    const names = new Map(plan.equipment.map((device) => [device.key, device.classWords]))
    for (const row of plan.visits.flatMap((visit) => visit.rows))
      if (row.modeWords !== '') {
        const name = `${names.get(row.equipmentKey ?? '')} / ${row.modeWords}`
        looks[name] = (looks[name] ?? 0) + 1
      }
    expect(looks).toEqual(sampleTruth().looks)
  })

  test('everything named in it is known: no class, mode or word is left to a person', () => {
    expect(plan.equipment.filter((device) => device.classSlug.startsWith('own:') || device.implied)).toEqual([])
    expect(plan.visits.flatMap((visit) => visit.rows).filter((row) => row.modeSlug?.startsWith('own:'))).toEqual([])
    expect(plan.tanks.filter((tank) => tank.kind === null)).toEqual([])
    expect(plan.people.map((person) => person.name)).toEqual(['Ines', 'Priya', 'Tomas'])
  })

  test('dialects are found: semicolons and a byte-order mark for the clients, commas for the rest', () => {
    const found = plan.files.map(({ name, kind, dialect, sure }) => [
      name,
      kind,
      dialect?.encoding,
      dialect?.delimiter,
      dialect?.dateOrder,
      sure,
    ])
    expect(found).toEqual([
      ['clients.csv', 'clients', 'utf-8-bom', ';', 'day-first', true],
      ['equipment.csv', 'equipment', 'utf-8', ',', 'day-first', true],
      ['tanks.csv', 'tanks', 'utf-8', ',', 'day-first', true],
      ['visits.csv', 'visits', 'utf-8', ',', 'day-first', true],
    ])
  })

  test('running it twice adds nothing', () => {
    const again = planImport(sampleFiles(), { gallon: 'us' }, {}, asExisting(plan))
    expect([again.clients, again.sites, again.tanks, again.equipment, again.visits].map((each) => each.length)).toEqual(
      [0, 0, 0, 0, 0],
    )
    const { clients, tanks, equipment, visits } = again.report
    expect([clients.repeated, tanks.repeated, equipment.repeated, visits.repeated]).toEqual([40, 48, 231, 15_591])
    expect(visits.rejected).toHaveLength(9)
  })

  test('about 16,000 rows are planned in under two seconds', () => {
    // Processor time, the best of three: the machine that runs the tests may be busy with other things.
    const files = sampleFiles()
    const seconds = [1, 2, 3].map(() => {
      const before = process.cpuUsage()
      planImport(files, { gallon: 'us' })
      const { user, system } = process.cpuUsage(before)
      return (user + system) / 1e6
    })
    expect(Math.min(...seconds)).toBeLessThan(2)
  })
})
