import { redirect } from 'next/navigation'
import { firstScreenOf } from '@/lib/office/frame/role-actions'
import { noBusinessYet } from '@/lib/office/people/first-run'
import { currentActor } from '@/lib/office/people/session'

export default async function StartPage() {
  const actor = await currentActor()
  if (actor) redirect(firstScreenOf(actor.roles))
  redirect((await noBusinessYet()) ? '/first-run' : '/sign-in')
}
