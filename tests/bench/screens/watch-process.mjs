// Loaded into the measured processes by `--import`. The one that answers requests opens a second door, on loopback, that tells
// which statements it sent to the database, how late its event loop ran, and how much memory it holds.
import { subscribe } from 'node:diagnostics_channel'
import { writeFileSync } from 'node:fs'
import { createServer } from 'node:http'
import { createRequire } from 'node:module'
import path from 'node:path'
import { monitorEventLoopDelay } from 'node:perf_hooks'
import { isMainThread } from 'node:worker_threads'

const folder = process.env.BENCH_WATCH_FOLDER
const RESOLUTION_MS = 5

if (folder && isMainThread) {
  const statements = []
  const delay = monitorEventLoopDelay({ resolution: RESOLUTION_MS })
  recordStatements(statements)
  let isOpen = false
  subscribe('http.server.request.start', () => {
    if (isOpen) return
    isOpen = true
    delay.enable()
    const door = createServer((request, response) => {
      if (request.url === '/reset') {
        statements.length = 0
        delay.reset()
      }
      const late = (value) => Math.max(0, value / 1e6 - RESOLUTION_MS)
      response.end(
        JSON.stringify({
          statements: request.url === '/read' ? statements : [],
          lateP99Ms: late(delay.percentile(99)),
          lateWorstMs: late(delay.max),
          rssMib: process.memoryUsage.rss() / 1048576,
          peakMib: process.resourceUsage().maxRSS / 1024,
        }),
      )
    })
    door.listen(0, '127.0.0.1', () => writeFileSync(path.join(folder, 'door'), String(door.address().port)))
    door.unref()
  })
}

function recordStatements(statements) {
  const { Client } = createRequire(path.join(process.cwd(), 'package.json'))('pg')
  const send = Client.prototype.query
  let connections = 0
  const numbers = new WeakMap()
  Client.prototype.query = function (config, values, callback) {
    const text = typeof config === 'string' ? config : config?.text
    if (!numbers.has(this)) numbers.set(this, connections++)
    if (typeof text === 'string' && statements.length < 5000)
      statements.push({
        connection: numbers.get(this),
        user: this.user,
        text,
        values: (typeof config === 'object' ? config.values : undefined) ?? (Array.isArray(values) ? values : []),
      })
    return send.call(this, config, values, callback)
  }
}
