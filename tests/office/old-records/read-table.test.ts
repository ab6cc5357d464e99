import { describe, expect, test } from 'vitest'
import { readTable } from '@/lib/office/old-records/read-table'

describe('physical lines', () => {
  const rows = ['a,b', '1,"x{}y"', '', '2,z', '3,"p{}{}q"', '4,5" pipe', '6,"a""b"']
  test.each([
    ['line feeds', '\n'],
    ['carriage returns with line feeds', '\r\n'],
    ['carriage returns alone', '\r'],
  ])('a record is named by the line on which it starts (%s)', (_, end) => {
    const text = rows.map((row) => row.replaceAll('{}', end) + end).join('')
    // Counted by hand: the break inside record 1 pushes everything after it down by one, the two in record 3 by two.
    expect(readTable(text, ',').records.map((record) => record.line)).toEqual([1, 2, 5, 6, 9, 10])
  })

  test('line feeds inside quotes count also where records end in carriage return and line feed', () => {
    const text = 'a,b\r\n1,"x\ny"\r\n2,z\r\n'
    expect(readTable(text, ',').records.map((record) => record.line)).toEqual([1, 2, 4])
  })

  test('letters of several bytes do not shift the lines', () => {
    const text = 'é,ü\n"日\n本",x\ny,z\n'
    expect(readTable(text, ',').records).toEqual([
      { line: 1, cells: ['é', 'ü'] },
      { line: 2, cells: ['日\n本', 'x'] },
      { line: 4, cells: ['y', 'z'] },
    ])
  })
})

test('a quote that is never closed keeps the records before it and names its line', () => {
  const table = readTable('a,b\n1,2\n3,"open\n4,5\n', ',')
  expect(table.records.map((record) => record.cells)).toEqual([
    ['a', 'b'],
    ['1', '2'],
  ])
  expect(table.problem).toMatchObject({ line: 3, reason: expect.stringContaining('never closed') })
})
