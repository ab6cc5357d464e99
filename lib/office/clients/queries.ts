/** Everything that is read of clients and sites; each is one transaction. */
export { siteFormChoices } from './choices'
export { findClient } from './client-page'
export { listClients } from './list-clients'
export { duplicateClients, duplicateSites, duplicateTanks } from './list-duplicates'
export { findSite, findSiteForm } from './site-page'
