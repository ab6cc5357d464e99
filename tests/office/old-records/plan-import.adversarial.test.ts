import { describe, expect, test } from 'vitest'
import { planImport } from '@/lib/office/old-records/plan-import'
import type { ImportOptions, Mapping } from '@/lib/office/old-records/schema'
import { asExisting, textFile } from './as-existing'

// All records here are invented; what is expected of them follows from the text itself.

const CLIENTS = textFile('clients.csv', 'name;email\nAda Bakery;a@ada.example\nZed Hall;z@zed.example\n')
const TANKS = textFile('tanks.csv', 'client,name,volume\nAda Bakery,Main,120 L\nZed Hall,Hall,300\n')
const EQUIPMENT = textFile('equipment.csv', 'tank,equipment\nMain,heater\nHall,return pump\n')
const BASE = [CLIENTS, TANKS, EQUIPMENT]

const visits = (
  rows: string,
  header = 'date,technician,tank,kind,minutes,equipment,looked_at,as_found,done,part,readings,comment',
) => textFile('visits.csv', `${header}\n${rows}`)
const planVisits = (rows: string, options: ImportOptions = {}) => planImport([...BASE, visits(rows)], options)
const reasonsOf = (rows: string) => planVisits(rows).report.visits.rejected

describe('files that cannot be read are refused whole, in words', () => {
  test.each([
    ['empty', '', /empty/],
    ['blank lines only', '\n \n\n', /empty/],
    ['zero bytes', 'date,tank\n2024-01-02,M\u0000ain\n', /not a text file/],
    ['no header', '2024-01-02,Main,45\n2024-01-03,Main,45\n', /is it a header/],
    ['one column', 'name\nMain\n', /too little/],
    ['a doubled column', 'date,tank,tank,minutes\n2024-01-02,Main,Hall,45\n', /more than one column could be “Tank”/],
    ['an unknown column', 'date,tank,zork\n2024-01-02,Main,7\n', /not known what “zork” holds/],
    ['a missing column', 'date,minutes,technician\n2024-01-02,45,Priya\n', /no column for “Tank”/],
    ['a quote open from the first letter', '"date,tank\n2024-01-02,Main\n', /line 1.*never closed/],
  ])('%s', (_, text, reason) => {
    const plan = planImport([...BASE, textFile('sheet.csv', text)])
    expect(plan.ready).toBe(false)
    expect(plan.refusals).toEqual([{ file: 'sheet.csv', reason: expect.stringMatching(reason) }])
    expect(plan.tanks).toHaveLength(2)
  })

  test('no files at all are not ready', () => expect(planImport([]).ready).toBe(false))
  test('a header without rows is fine and adds nothing', () => {
    const plan = planVisits('')
    expect(plan).toMatchObject({ ready: true, visits: [], report: { visits: { added: 0, repeated: 0, rejected: [] } } })
  })
})

describe('a person matches the columns', () => {
  const odd = textFile('old.csv', 'Wann,Wo,Dauer,zork\n2024-01-02,Main,45,7\n')
  const mapping: Mapping = { 'old.csv': { kind: 'visits', columns: { date: 'Wann', tank: 'wo', minutes: 'Dauer' } } }

  test('without a match the file is refused; with it, it arrives, and the unmatched column is left out', () => {
    expect(planImport([...BASE, odd]).ready).toBe(false)
    const plan = planImport([...BASE, odd], {}, mapping)
    expect(plan).toMatchObject({ ready: true, visits: [{ date: '2024-01-02', minutes: 45 }] })
    expect(plan.files.find((file) => file.name === 'old.csv')?.columns.map((column) => column.field)).toEqual([
      'date',
      'tank',
      'minutes',
      null,
    ])
  })
  test.each([
    [{ date: 'When', tank: 'Wo' }, /no column called “When”/],
    [{ when: 'Wann', tank: 'Wo' }, /no field called “when”/],
    [{ date: 'Wann', tank: 'Wann' }, /matched twice/],
    [{ date: 'Wann' }, /no column for “Tank”/],
  ])('a match that cannot be is said so: %j', (columns, reason) => {
    const plan = planImport([...BASE, odd], {}, { 'old.csv': { kind: 'visits', columns } })
    expect(plan.refusals[0]?.reason).toMatch(reason)
  })
})

describe('rows that are wrong are named with all that is wrong with them', () => {
  test('several faults of one row stand in one sentence', () => {
    expect(reasonsOf('31/02/2024,Priya,Nowhere,tea,0,,,,,,,\n')).toEqual([
      {
        file: 'visits.csv',
        line: 2,
        reason: expect.stringMatching(/no day 31.*0 minutes.*“tea” is not a kind.*“Nowhere”/),
      },
    ])
  })
  test.each([
    ['minutes of a whole day and one more', '2024-01-02,,Main,,1441,,,,,,,', /1441 minutes/],
    ['broken minutes', '2024-01-02,,Main,,45.5,,,,,,,', /whole minutes/],
    ['an unknown word as found', '2024-01-02,,Main,,45,heater,reads off,so so,,,,', /“so so”/],
    ['an unknown deed', '2024-01-02,,Main,,45,heater,reads off,ok,blessed,,,', /“blessed”/],
    ['a look without equipment', '2024-01-02,,Main,,45,,rotor film,ok,,,,', /not on which equipment/],
    ['equipment nobody knows', '2024-01-02,,Main,,45,flux capacitor,hum,ok,,,,', /no equipment called/],
    ['a reading that cannot be', '2024-01-02,,Main,,45,,,,,,pH 72,', /“pH 72” cannot be true/],
    ['too few values', '2024-01-02,,Main', /3 values.*12 columns/],
    ['too many values', '2024-01-02,,Main,,45,,,,,,,,surplus', /13 values/],
  ])('%s', (_, row, reason) => {
    expect(reasonsOf(`${row}\n`)).toEqual([{ file: 'visits.csv', line: 2, reason: expect.stringMatching(reason) }])
  })
  test.each([1, 1440])('%d minutes are taken', (minutes) => {
    expect(planVisits(`2024-01-02,,Main,,${minutes},,,,,,,\n`).visits[0]?.minutes).toBe(minutes)
  })

  test('what hangs on a rejected row says so', () => {
    const clients = textFile('clients.csv', 'name;email\nAda Bakery;nonsense\nZed Hall;z@zed.example\n')
    const plan = planImport([clients, TANKS, EQUIPMENT, visits('2024-01-02,,Main,,45,,,,,,,\n')])
    expect(plan.report.clients.rejected[0]?.reason).toMatch(/“nonsense” is not an e-mail/)
    expect(plan.report.tanks.rejected).toEqual([
      { file: 'tanks.csv', line: 2, reason: expect.stringMatching(/“Ada Bakery” was not taken either/) },
    ])
    expect(plan.report.equipment.rejected[0]?.reason).toMatch(/“Main” was not taken either/)
    expect(plan.report.visits.rejected[0]?.reason).toMatch(/“Main” was not taken either/)
  })

  test('rows before a quote that never closes arrive, and its line is named', () => {
    const plan = planVisits(
      '2024-01-02,,Main,,45,,,,,,,fine\n2024-01-03,,Main,,45,,,,,,,"lost\n2024-01-04,,Main,,45,,,,,,,\n',
    )
    expect(plan.report.visits).toEqual({
      added: 1,
      repeated: 0,
      rejected: [{ file: 'visits.csv', line: 3, reason: expect.stringMatching(/never closed/) }],
    })
  })

  test('two lines about one client, tank or device that disagree: the fuller is kept, the other named', () => {
    const clients = textFile('clients.csv', 'name,phone,address\nAda,1,Quay\nADA ,2,quay\nAda,1,Row\nAda,,Quay\n')
    const tanks = textFile(
      'tanks.csv',
      'client,name,volume,address\nAda,Main,120,Quay\nada,MAIN,130,Quay\nAda,Side,10,\n',
    )
    const equipment = textFile(
      'equipment.csv',
      'tank,equipment,installed\nMain,heater,2024-01-02\nMain,Heater,2024-03-04\nMain,heater 2,\n',
    )
    const { report, sites, equipment: devices } = planImport([clients, tanks, equipment])
    expect(report.clients).toMatchObject({
      added: 2,
      repeated: 1,
      rejected: [{ line: 3, reason: expect.stringMatching(/another telephone/) }],
    })
    expect(sites).toHaveLength(2)
    expect(report.tanks.rejected.map((each) => each.line)).toEqual([3, 4])
    expect(report.tanks.rejected[1]?.reason).toMatch(/more than one site/)
    expect(report.equipment.rejected).toEqual([
      { file: 'equipment.csv', line: 3, reason: expect.stringMatching(/label/) },
    ])
    expect(devices.map((device) => device.label).sort()).toEqual(['heater 2', null])
  })

  test('a tank name that two clients use needs a client column', () => {
    const tanks = textFile('tanks.csv', 'client,name,volume\nAda Bakery,Main,10\nZed Hall,Main,10\n')
    const bare = planImport([CLIENTS, tanks, textFile('visits.csv', 'date,tank\n2024-01-02,Main\n')])
    expect(bare.report.visits.rejected[0]?.reason).toMatch(/a client column must say which/)
    const named = planImport([CLIENTS, tanks, textFile('visits.csv', 'date,tank,client\n2024-01-02,Main,zed hall\n')])
    expect(named.report.visits.added).toBe(1)
  })
})

describe('what can be read two ways is asked', () => {
  test('dates that are all 12 or less', () => {
    const rows = '03/04/2024,,Main,,45,,,,,,,\n'
    const open = planVisits(rows)
    expect(open).toMatchObject({
      ready: false,
      questions: [{ about: 'date-order', file: 'visits.csv', assumed: 'day-first' }],
    })
    expect(planVisits(rows, { dateOrder: 'month-first' })).toMatchObject({
      ready: true,
      visits: [{ date: '2024-03-04' }],
    })
    expect(planVisits(rows, { files: { 'visits.csv': { dateOrder: 'day-first' } } })).toMatchObject({
      ready: true,
      visits: [{ date: '2024-04-03' }],
    })
  })
  test('one file is read like its neighbour where only the neighbour shows the order', () => {
    const equipment = textFile('equipment.csv', 'tank,equipment,installed\nMain,heater,03/04/2023\n')
    const plan = planImport([CLIENTS, TANKS, equipment, visits('03/25/2024,,Main,,45,,,,,,,\n')])
    expect(plan).toMatchObject({ ready: true, equipment: [{ installed: '2023-03-04' }] })
  })
  test('1,500 without anything else to go by', () => {
    const tanks = textFile('tanks.csv', 'client;name;volume\nAda Bakery;Main;1,500 L\n')
    expect(planImport([CLIENTS, tanks]).questions.map((each) => each.about)).toEqual(['decimal-mark'])
    expect(planImport([CLIENTS, tanks], { decimalMark: ',' }).tanks[0]?.volumeL).toBe(1.5)
    expect(planImport([CLIENTS, tanks], { decimalMark: '.' }).tanks[0]?.volumeL).toBe(1500)
  })
  test('a gallon that says which is not asked about', () => {
    const tanks = textFile('tanks.csv', 'client,name,volume (US gal)\nAda Bakery,Main,100\nZed Hall,Hall,100 imp gal\n')
    const plan = planImport([CLIENTS, tanks])
    expect(plan.questions).toEqual([])
    // NIST Handbook 44, Appendix C: 231 cubic inches = 3.785411784 L; UK Units of Measurement Regulations 1995: 4.54609 L.
    expect(plan.tanks.map((tank) => tank.volumeL)).toEqual([454.609, 378.541])
  })
})

describe('visits', () => {
  const day = '2024-01-02,Priya,Main,routine'
  test('rows that disagree about the minutes stay one visit, with a warning, in any order', () => {
    const rows = [`${day},45,heater,reads off,ok,,,,\n`, `${day},60,heater,seal,ok,,,,\n`]
    const plan = planVisits(rows.join(''))
    expect(plan.visits).toHaveLength(1)
    expect(plan.visits[0]).toMatchObject({ minutes: 60, rows: [{}, {}] })
    expect(plan.warnings[0]?.text).toMatch(/2 lengths/)
    expect(planVisits(rows.reverse().join('')).visits[0]?.minutes).toBe(60)
  })
  test('a second technician on one day is a second visit', () => {
    expect(planVisits(`${day},45,,,,,,,\n2024-01-02,Ines,Main,routine,45,,,,,,,\n`).visits).toHaveLength(2)
  })
  test('words that the catalogue does not know stay the file’s own', () => {
    const [row] =
      planVisits(`${day},45,heater,cable chewed by cat,Cable chewed by cat,replaced,,,\n`).visits[0]?.rows ?? []
    expect(row).toMatchObject({
      modeSlug: 'own:cable chewed by cat',
      modeWords: 'cable chewed by cat',
      asFound: 'needs_it',
      done: 'replaced',
    })
  })
  test('a device that only visits name is added when its kind is known, and said so', () => {
    const plan = planVisits(`${day},45,protein skimmer,rotor film,ok,,,,\n`)
    expect(plan.equipment.find((device) => device.implied)?.classSlug).toBe('protein-skimmer')
    expect(plan.warnings[0]?.text).toMatch(/Only visits name this protein skimmer/)
  })
  test('a later file adds only its new rows, to clients and tanks that are here', () => {
    const first = planVisits(`${day},45,heater,reads off,ok,,,,\n`)
    const more = planImport(
      [visits(`${day},45,heater,reads off,ok,,,,\n2024-01-16,Priya,Main,routine,45,heater,reads off,ok,,,,\n`)],
      {},
      {},
      asExisting(first),
    )
    expect(more.report.visits).toEqual({ added: 1, repeated: 1, rejected: [] })
    expect(more.visits[0]).toMatchObject({ date: '2024-01-16', tankKey: first.visits[0]?.tankKey })
    expect(more.visits[0]?.rows[0]?.equipmentKey).toBe(first.visits[0]?.rows[0]?.equipmentKey)
  })
  test('the same row in two date styles is one row', () => {
    expect(
      planVisits(`${day},45,,,,,,,\n2 Jan 2024,PRIYA,main ,Routine,45,,,,,,,\n25/01/2024,,Main,,45,,,,,,,\n`).report
        .visits,
    ).toMatchObject({ added: 2, repeated: 1 })
  })
})
