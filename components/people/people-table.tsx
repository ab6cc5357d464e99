import type { ReactNode } from 'react'
import { DataTable } from '@/components/tables'
import { roleWords, stateWords } from './access-words'

type Row = {
  id: string
  name: string
  email: string
  phone: string
  isTechnician: boolean
  access: {
    state: 'invited' | 'link-ran-out' | 'signs-in'
    roles: readonly string[]
    client: { name: string } | null
  } | null
}

/** Everybody of a business and how they get in. */
export function PeopleTable({ people, empty }: { people: readonly Row[]; empty: ReactNode }) {
  return (
    <DataTable
      caption="People"
      captionHidden
      rows={people}
      empty={empty}
      rowHref={(person) => `/people/${person.id}`}
      columns={[
        { key: 'name', header: 'Name', cell: (person) => person.name },
        {
          key: 'roles',
          header: 'Roles',
          cell: ({ access, isTechnician }) =>
            access ? roleWords(access.roles, access.client?.name) : isTechnician ? 'Goes on the round' : '',
        },
        { key: 'access', header: 'Sign-in', cell: ({ access }) => stateWords(access?.state) },
        { key: 'email', header: 'E-mail', cell: ({ email }) => email },
        { key: 'phone', header: 'Phone', cell: ({ phone }) => phone },
      ]}
    />
  )
}
