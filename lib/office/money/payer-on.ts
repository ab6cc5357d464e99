/** Who pays for what is done at a site. Pure; dates ISO. */

/** A decision: from this day on this payer pays, as long as the site is this client's. */
export type PayerDecision = { since: string; madeAt: string; id: string; clientId: string; payerId: string }

/**
 * The payer of a day for what is done for a client: by the newest decision that reaches the day. The site's other payer pays only
 * for the client the site had then; anybody else there pays for themselves. `sameClient` knows who was merged with whom.
 */
export function payerOn(
  decisions: readonly PayerDecision[],
  day: string,
  clientId: string,
  sameClient: (first: string, second: string) => boolean = (first, second) => first === second,
): string {
  let holds: PayerDecision | null = null
  for (const decision of decisions) {
    if (decision.since > day) continue
    const newer =
      holds === null || decision.madeAt > holds.madeAt || (decision.madeAt === holds.madeAt && decision.id > holds.id)
    if (newer) holds = decision
  }
  return holds && sameClient(holds.clientId, clientId) ? holds.payerId : clientId
}
