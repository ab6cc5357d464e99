import 'server-only'
import { Client } from 'pg'

/**
 * A connection on which statements wait for each other. Prisma sends the statements of one `include` side by side, also inside a
 * transaction, which has one connection; pg queues them today, warns, and will refuse them.
 */
export class OneAtATimeClient extends Client {
  private last: Promise<unknown> = Promise.resolve()

  // The overloads of pg's own method; what is called with a callback has the connection to itself already.
  override query: Client['query'] = ((...asked: unknown[]) => {
    const send = () => (Client.prototype.query as (...asked: unknown[]) => unknown).apply(this, asked)
    if (typeof asked.at(-1) === 'function') return send()
    const answer = this.last.then(send)
    this.last = answer.catch(() => undefined)
    return answer
  }) as Client['query']
}
