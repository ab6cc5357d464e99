import { Form } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { roleWords } from './access-words'

type Membership = { membershipId: string; businessName: string; roles: readonly string[] }
type Props = { memberships: readonly Membership[]; presentId: string; action: FormAction }

/** The businesses one sign-in opens, each with the way into it. */
export function BusinessList({ memberships, presentId, action }: Props) {
  return (
    <ul>
      {memberships.map(({ membershipId, businessName, roles }) => (
        <li key={membershipId}>
          <b>{businessName}</b> <span className="soft">({roleWords(roles)})</span>{' '}
          {membershipId === presentId ? (
            <span>you are here</span>
          ) : (
            <Form
              name="business.switch"
              native
              action={action}
              hidden={{ membershipId }}
              submit={`Go to ${businessName}`}
              plain
            />
          )}
        </li>
      ))}
    </ul>
  )
}
