-- What the ledger reads of every issued document stands in an index: a balance of 20,000 documents reads 2 MB of keys where it read 11 MB of whole
-- documents, their frozen parties and tax along with them.
-- Kind: indexes only. Lock: writes to the table of each wait while it is built, about a second for a million rows. Way back: drop them.
CREATE INDEX "invoice_standing_idx" ON "invoice"("business_id", "id")
  INCLUDE ("client_id", "document_type", "currency", "issued_on", "due_on", "gross_minor") WHERE "state" = 'issued';
-- What stands on invoices for a tank or a client, and the parts used at a tank, were looked for in all lines and parts of a business.
CREATE INDEX "invoice_line_business_id_client_id_idx" ON "invoice_line"("business_id", "client_id");
CREATE INDEX "invoice_line_business_id_tank_id_idx" ON "invoice_line"("business_id", "tank_id");
CREATE INDEX "part_used_business_id_tank_id_idx" ON "part_used"("business_id", "tank_id");
-- Tax by the day of a service, or as money settles: what may lie within a period is found by its day. Credit is moved seldom, so that index is short.
CREATE INDEX "invoice_line_business_id_service_end_idx" ON "invoice_line"("business_id", "service_end");
CREATE INDEX "allocation_moved_on_idx" ON "allocation"("business_id", "moved_on") WHERE "moved_on" IS NOT NULL;
