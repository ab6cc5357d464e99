import { SubmitButton } from '@/components/forms'
import { roleWords } from './access-words'

type Membership = { membershipId: string; businessName: string; roles: readonly string[] }
type Props = { memberships: readonly Membership[]; presentId: string; action: (data: FormData) => Promise<void> }

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
            <form action={action} style={{ display: 'inline' }}>
              <input type="hidden" name="membershipId" value={membershipId} />
              <SubmitButton plain>Go to {businessName}</SubmitButton>
            </form>
          )}
        </li>
      ))}
    </ul>
  )
}
