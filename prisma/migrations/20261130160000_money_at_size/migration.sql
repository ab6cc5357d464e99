-- What the ledger reads of every issued document stands in an index: a balance of 20,000 documents reads 2 MB of keys where it read 11 MB of whole
-- documents, their frozen parties and tax along with them.
-- Kind: an index only. Lock: writes to invoices wait while it is built, under a second for 100,000. Way back: drop it.
CREATE INDEX "invoice_standing_idx" ON "invoice"("business_id", "id")
  INCLUDE ("client_id", "document_type", "currency", "issued_on", "due_on", "gross_minor") WHERE "state" = 'issued';
-- What stands on invoices for a tank or a client, and the parts used at a tank, were looked for in all lines and parts of a business. Kind, lock and
-- way back are the same.
CREATE INDEX "invoice_line_business_id_client_id_idx" ON "invoice_line"("business_id", "client_id");
CREATE INDEX "invoice_line_business_id_tank_id_idx" ON "invoice_line"("business_id", "tank_id");
CREATE INDEX "part_used_business_id_tank_id_idx" ON "part_used"("business_id", "tank_id");
