/**
 * Who may import whom (the rooms; dependencies point downwards only). The zones are read from the folders, so a new
 * folder of the office or a new room falls under the rules by itself.
 */
const { readdirSync } = require('node:fs')
const path = require('node:path')

const foldersIn = (folder) => {
  try {
    return readdirSync(path.join(__dirname, folder), { withFileTypes: true })
      .filter((entry) => entry.isDirectory() && !entry.name.startsWith('.'))
      .map((entry) => entry.name)
  } catch {
    return []
  }
}
const escaped = (name) => name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')
const anyOf = (names) => `(?:${names.map(escaped).join('|') || '(?!)'})`

const office = anyOf(foldersIn('lib/office'))
const rooms = foldersIn('lib').map((room) => `lib/${room}/`)

/** Our own folders: everything else (packages, node's own) is not a room. */
const OURS = '^(?:app|components|lib|seed|generated|tests)/'
const NEW_ID = '^lib/new-id[.]ts$'

/** One rule per room: from `from`, of our own files only `may` can be reached. */
const room = (name, from, may, why) => ({
  name,
  comment: why,
  severity: 'error',
  from: { path: from },
  to: { path: OURS, pathNot: [from, NEW_ID, ...may] },
})

/**
 * The office from the ground up: a folder may import those above its line, never one below. A new folder is named here, where it
 * belongs; until then nothing may import it.
 */
const OFFICE_ORDER = [
  'frame',
  'money',
  'clients',
  'follow-ups',
  'lanes',
  'people',
  'booking',
  'client-record',
  'due',
  'lots',
  'old-records',
  'settings',
  'faults',
  'intervals',
  'learned',
  'parts',
  'refills',
  'how-often',
  'tanks',
  'calls',
  'visits',
  'causes',
  'photos',
  'today',
  'registry',
]
const officeOrder = foldersIn('lib/office').map((folder) => {
  const under = OFFICE_ORDER.slice(0, Math.max(0, OFFICE_ORDER.indexOf(folder)))
  return {
    name: 'office-folders-depend-one-way',
    comment: 'Two folders of the office that need each other are one folder, or a third lies between them.',
    severity: 'error',
    from: { path: `^lib/office/${escaped(folder)}/` },
    to: { path: '^lib/office/', pathNot: `^lib/office/${anyOf([folder, ...under])}/` },
  }
})

module.exports = {
  forbidden: [
    room(
      'app',
      '^app/',
      ['^components/', '^lib/office/', '^lib/platform/auth/'],
      'A route reads, renders and calls one command: it reaches components, the office and auth only.',
    ),
    room(
      'components',
      '^components/',
      [`^lib/office/${office}/(?:schema|result|projection)[.]tsx?$`, '^lib/office/result[.]ts$'],
      'A component gets data and actions as props; of the office it knows what runs on the phone too: schemas, projections and results.',
    ),
    room(
      'office',
      '^lib/office/',
      ['^lib/trade/', '^lib/science/', '^lib/platform/', '^generated/prisma/'],
      'Use cases stand on the trade, the science and the platform.',
    ),
    room('trade', '^lib/trade/', ['^lib/science/'], 'The trade knows the science, and nothing that has side effects.'),
    room('science', '^lib/science/', [], 'The science knows nothing of ours.'),
    room('platform', '^lib/platform/', ['^generated/prisma/'], 'The platform knows nothing of ours.'),
    room(
      'entry',
      '^lib/entry/',
      ['^lib/office/', '^lib/platform/', '^lib/science/', '^seed/'],
      'Composition roots put the office and the platform together; calibrate runs the science alone.',
    ),
    room(
      'seed',
      '^seed/',
      ['^lib/office/', '^lib/platform/', '^generated/prisma/'],
      'The demo goes through the office.',
    ),
    {
      name: 'nothing-needs-a-test',
      severity: 'error',
      from: { pathNot: '^tests/' },
      to: { path: '^tests/' },
    },
    {
      name: 'a-file-in-no-room',
      comment: 'lib holds rooms only; lib/new-id.ts is the one file beside them.',
      severity: 'error',
      from: {},
      to: { path: '^lib/', pathNot: [NEW_ID, ...rooms.map((folder) => `^${escaped(folder)}`)] },
    },
    {
      name: 'pure-rooms-do-no-input-or-output',
      comment:
        'The science and the trade run on the phone and in a worker: no module of Node, no framework, no database.',
      severity: 'error',
      from: { path: '^lib/(?:science|trade)/' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'pure-rooms-know-no-framework',
      severity: 'error',
      from: { path: '^lib/(?:science|trade)/' },
      to: { path: 'node_modules/(?:next|react|react-dom|pg|pg-boss|pino|@prisma|server-only)/' },
    },
    {
      name: 'pure-office-files-run-on-the-phone',
      comment:
        'schema.ts, projection.ts and result.ts of the office run on the phone too: nothing of the server behind them.',
      severity: 'error',
      from: {
        path: [
          '^lib/office/(?:schema|projection|result)[.]ts$',
          '^lib/office/[^/]+/(?:schema|projection|result)[.]ts$',
        ],
      },
      to: {
        path: ['^lib/platform/', '^generated/', 'node_modules/server-only/'],
        pathNot: '^lib/platform/[^/]+/[a-z-]+-view[.]ts$', // plain shapes of what is printed
        reachable: true,
      },
    },
    {
      name: 'no-circles',
      severity: 'error',
      from: { pathNot: '^generated/' },
      to: { circular: true, viaOnly: { pathNot: '^generated/' } },
    },
    ...officeOrder,
    {
      name: 'no-broken-imports',
      severity: 'error',
      from: { path: '^(?:app|components|lib|seed)/' },
      to: { couldNotResolve: true, pathNot: '[.]css$' },
    },
  ],
  options: {
    doNotFollow: { path: '^(?:node_modules|generated)/' },
    exclude: { path: '^(?:[.]next|[.]data|[.]cache)/' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: path.join(__dirname, 'tsconfig.json') },
    enhancedResolveOptions: {
      extensions: ['.ts', '.tsx', '.mjs', '.js', '.json'],
      conditionNames: ['react-server', 'import', 'require', 'node', 'default', 'types'],
      exportsFields: ['exports'],
    },
  },
}
