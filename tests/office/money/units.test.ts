import { existsSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { expect, test } from 'vitest'
import { UNIT_WORDS, unitColumns } from '@/lib/office/money/units'

// Codes and their meaning: UN/ECE Recommendation 20, revision 17, annex II (from memory).
test.each([
  ['hour', 'HUR'],
  ['Hours ', 'HUR'],
  ['min', 'MIN'],
  ['months', 'MON'],
  ['litre', 'LTR'],
  ['L', 'LTR'],
  ['kg', 'KGM'],
  ['piece', 'H87'],
  ['', 'C62'],
  ['bucket', 'C62'],
])('“%s” is %s and keeps its word', (word, unitCode) => {
  expect(unitColumns(word)).toEqual({ unit: word, unitCode })
})

const rules = path.resolve('..', 'shared', 'reference', 'einvoice', 'schematron', 'EN16931-UBL-validation.sch')

// The published rule file of EN 16931 lists the codes of Recommendation 20 (rule BR-CL-23).
test.skipIf(!existsSync(rules))(
  `every code is one of the standard’s list${existsSync(rules) ? '' : ' (skipped: the rule file is not beside this checkout)'}`,
  () => {
    const list = /<rule[^>]*context="[^"]*unitCode[^"]*"[^>]*>[\s\S]*?contains\('([^']*)'[\s\S]*?BR-CL-23/.exec(
      readFileSync(rules, 'utf8'),
    )
    const known = new Set(list?.[1]?.trim().split(/\s+/))
    expect(known.size).toBeGreaterThan(1000)
    expect([...new Set(UNIT_WORDS.values())].filter((code) => !known.has(code))).toEqual([])
  },
)

test('the migration of old rows knows the same words', () => {
  const sql = readFileSync('prisma/migrations/20261129232000_papers/migration.sql', 'utf8')
  const [, values = ''] = /INSERT INTO unit_word VALUES([\s\S]*?);/.exec(sql) ?? []
  const words = [...values.matchAll(/\('([^']*)', '(\w+)'\)/g)].map(([, word, code]) => [word, code])
  expect(words).toEqual([...UNIT_WORDS])
})
