import { Notice } from './notice'

/** What a large business asks of all its records is worked out apart from the page, and is not there yet. */
export function Awaited() {
  return <Notice title="This is being worked out.">Look again in a minute.</Notice>
}
