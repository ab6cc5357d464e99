import { describe, expect, test } from 'vitest'
import { fieldNavigationOf, navigationOf } from '@/lib/office/people/navigation'

const places = (nav: readonly { href: string }[]) => nav.map(({ href }) => href)

describe('the ways on', () => {
  test('an owner who goes on the round finds the route from the desk, and the desk from the route', () => {
    expect(places(navigationOf(['owner']))).toContain('/route')
    expect(places(fieldNavigationOf(['owner']))).toContain('/today')
  })
  test('at the foot of a phone there are at most four, whatever the roles', () => {
    for (const roles of [['owner'], ['technician'], ['owner', 'technician', 'accountant']] as const)
      expect(fieldNavigationOf(roles).length).toBeLessThanOrEqual(4)
  })
  test('a technician keeps the account within reach, and sees nothing of the desk that is not theirs', () => {
    expect(places(fieldNavigationOf(['technician']))).toEqual(['/route', '/tanks', '/work-due', '/account'])
    expect(places(navigationOf(['technician']))).not.toContain('/today')
  })
  test('everybody lands on the first of their own places', () => {
    expect(places(navigationOf(['owner']))[0]).toBe('/today')
    expect(places(navigationOf(['technician']))[0]).toBe('/route')
    expect(places(navigationOf(['accountant']))[0]).toBe('/books')
    expect(places(navigationOf(['client']))[0]).toBe('/our-tanks')
  })
})
