import { createServer } from 'node:net'

/** A port that is free on the loopback address right now. */
export function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer()
    server.once('error', reject)
    server.listen(0, '127.0.0.1', () => {
      const address = server.address()
      const port = typeof address === 'object' && address ? address.port : 0
      server.close(() => resolve(port))
    })
  })
}

/** Can this port be listened on? */
export async function isFree(port: number, host = '127.0.0.1'): Promise<boolean> {
  return (await whyNotListen(port, host)) === null
}

/** Why nobody can listen there, in words for the terminal; null where one can. */
export async function portProblem(port: number, host: string): Promise<string | null> {
  const code = await whyNotListen(port, host)
  if (code === null) return null
  if (code === 'EADDRINUSE')
    return `Port ${port} is taken by another program. Choose another one: PORT=${port + 1} npm start`
  if (code === 'EACCES')
    return `You have no right to port ${port}. Choose one from 1024 on: PORT=${port < 1024 ? port + 8000 : port + 1} npm start`
  return `HOST must be an address of this machine, and ${host} is none (${code}). 127.0.0.1 is for this machine alone, 0.0.0.0 for every network it is in.`
}

function whyNotListen(port: number, host: string): Promise<string | null> {
  return new Promise((resolve) => {
    const server = createServer()
    server.once('error', (error) => resolve('code' in error ? String(error.code) : error.message))
    server.listen(port, host, () => server.close(() => resolve(null)))
  })
}
