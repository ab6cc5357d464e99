/** Every change of clients and sites; each is one command in one transaction. */
export { addClient, archiveClient, editClient, restoreClient } from './client-commands'
export { mergeClients, mergeSites } from './merge-commands'
export { addSite, archiveSite, editSite, restoreSite } from './site-commands'
