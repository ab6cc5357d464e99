import { redirect } from 'next/navigation'
import { noBusinessYet } from '@/lib/office/people/first-run'
import { firstScreenOf } from '@/lib/office/people/role-actions'
import { currentActor } from '@/lib/office/people/session'

export default async function StartPage() {
  const actor = await currentActor()
  if (actor) redirect(firstScreenOf(actor.roles))
  redirect((await noBusinessYet()) ? '/first-run' : '/sign-in')
}
