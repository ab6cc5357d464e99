-- Why: at 20,000 invoices and 240,000 visits pages asked for credits, corrected invoices, merged tanks, fresh readings and booked visits by
--   looking at every row; Today looked at every finding for the few that need something.
-- Kind: compatible; indexes only.
-- Lock: holds writes to each table while its index is built, some seconds at a million rows.   Way back: drop the indexes.
CREATE INDEX "invoice_business_id_corrects_invoice_id_idx" ON "invoice"("business_id", "corrects_invoice_id");
CREATE INDEX "invoice_line_business_id_credits_line_id_idx" ON "invoice_line"("business_id", "credits_line_id");
CREATE INDEX "tank_business_id_merged_into_id_idx" ON "tank"("business_id", "merged_into_id");
CREATE INDEX "reading_business_id_taken_on_idx" ON "reading"("business_id", "taken_on");
CREATE INDEX "visit_business_id_state_local_date_idx" ON "visit"("business_id", "state", "local_date");
-- Partial, so not in the schema: few looks find something.
CREATE INDEX "finding_needs_idx" ON "finding"("business_id", "found_on") WHERE as_found IN ('needs_it', 'failed');
