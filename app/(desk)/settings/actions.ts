'use server'
import { act } from '@/lib/office/people/act'
import { changeBusinessSettings, changeCosts, removeLogo } from '@/lib/office/settings/commands'
import { businessSettingsSchema, costsSchema, removeLogoSchema } from '@/lib/office/settings/schema'

export const changeBusinessSettingsAction = act({
  may: 'settings.change',
  schema: businessSettingsSchema,
  command: changeBusinessSettings,
  shows: ['/'],
  said: 'Saved. Invoices issued before keep what they were issued with.',
})
export const changeCostsAction = act({
  may: 'settings.change',
  schema: costsSchema,
  command: changeCosts,
  shows: ['/settings'],
  said: 'Stated. What is due is being worked out again with these costs.',
})
export const removeLogoAction = act({
  may: 'settings.change',
  schema: removeLogoSchema,
  command: removeLogo,
  shows: ['/settings'],
})
