'use server'
import {
  addClient,
  addSite,
  archiveClient,
  archiveSite,
  editClient,
  editSite,
  mergeClients,
  mergeSites,
  restoreClient,
  restoreSite,
} from '@/lib/office/clients/commands'
import {
  addClientSchema,
  addSiteSchema,
  editClientSchema,
  editSiteSchema,
  mergeSchema,
  oneRowSchema,
} from '@/lib/office/clients/schema'
import { setClientCost } from '@/lib/office/intervals/commands'
import { clientCostSchema } from '@/lib/office/intervals/schema'
import { act } from '@/lib/office/people/act'

/** What has changed is shown anew, on the tanks' pages too. */
const REGISTER = { may: 'register.change', shows: ['/clients', '/tanks'] } as const
const toClient = (_value: unknown, { clientId }: { clientId: string }) => `/clients/${clientId}`
const toSite = ({ siteId }: { siteId: string }) => `/clients/sites/${siteId}`

export const addClientAction = act({
  ...REGISTER,
  schema: addClientSchema,
  command: addClient,
  next: ({ clientId }) => `/clients/${clientId}`,
})
export const editClientAction = act({ ...REGISTER, schema: editClientSchema, command: editClient, next: toClient })
export const archiveClientAction = act({ ...REGISTER, schema: oneRowSchema, command: archiveClient })
export const restoreClientAction = act({ ...REGISTER, schema: oneRowSchema, command: restoreClient })
export const mergeClientsAction = act({
  ...REGISTER,
  schema: mergeSchema,
  command: mergeClients,
  next: ({ survivorId }) => `/clients/${survivorId}`,
})

export const addSiteAction = act({ ...REGISTER, schema: addSiteSchema, command: addSite, next: toSite })
export const editSiteAction = act({ ...REGISTER, schema: editSiteSchema, command: editSite, next: toSite })
export const archiveSiteAction = act({ ...REGISTER, schema: oneRowSchema, command: archiveSite })
export const restoreSiteAction = act({ ...REGISTER, schema: oneRowSchema, command: restoreSite })
export const mergeSitesAction = act({
  ...REGISTER,
  schema: mergeSchema,
  command: mergeSites,
  next: ({ survivorId }) => `/clients/sites/${survivorId}`,
})

export const setClientCostAction = act({
  may: 'due.change',
  schema: clientCostSchema,
  command: setClientCost,
  shows: ['/clients', '/work-due'],
  said: 'Stated. What is due at their tanks follows.',
})
