import { Form } from '@/components/forms'
import { dateWords } from '@/components/paper'
import { DataTable } from '@/components/tables'
import type { FormAction } from '@/lib/office/frame/schema'

type Line = { id: string; device: string; madeAt: string; lastSeenAt: string; isThis: boolean }
type Props = { sessions: readonly Line[]; action: FormAction }

/** The devices on which somebody is signed in, each with the way to end that. */
export function SessionTable({ sessions, action }: Props) {
  return (
    <DataTable
      caption="Where you are signed in"
      captionHidden
      rows={sessions}
      columns={[
        { key: 'device', header: 'Device', cell: ({ device }) => device || 'Unknown device' },
        { key: 'since', header: 'Signed in', cell: ({ madeAt }) => dateWords({ date: madeAt, style: 'moment' }) },
        {
          key: 'seen',
          header: 'Last used',
          cell: ({ lastSeenAt }) => dateWords({ date: lastSeenAt, style: 'moment' }),
        },
        {
          key: 'end',
          header: 'End',
          cell: ({ id, device, isThis }) =>
            isThis ? (
              'this device'
            ) : (
              <Form
                name="session.end"
                action={action}
                hidden={{ sessionId: id }}
                submit={`Sign out ${device || 'this device'}`}
                plain
              />
            ),
        },
      ]}
    />
  )
}
