/** Everything that is read of clients and sites; each is one transaction. */
export { type Choice, siteFormChoices } from './choices'
export { type ClientPage, findClient } from './client-page'
export { type ClientList, type ClientRow, listClients } from './list-clients'
export { duplicateClients, duplicateSites, duplicateTanks, type MergePage } from './list-duplicates'
export { findSite, findSiteForm, type SitePage } from './site-page'
