-- Why: one payment may settle several invoices, in part or not at all; a credit and an overpayment may be moved. Until now a payment named one
--   invoice and settled it whole. Each becomes a payment with one allocation of the same id, amount and day; corrected ones keep theirs.
--   And how the books report tax and write decimals becomes the business's choice.
-- Kind: not compatible: code of before reads payment.invoice_id.   Lock: payment is rewritten once (seconds at 20,000).
-- Way back: fill payment.invoice_id from the allocations that name a payment; what was moved or split needs a decision.
CREATE TABLE "allocation" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "invoice_id" UUID NOT NULL,
    "payment_id" UUID,
    "moved_on" DATE,
    "amount_minor" INTEGER NOT NULL,
    "command_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "allocation_pkey" PRIMARY KEY ("business_id","id"),
    CONSTRAINT allocation_of_payment_or_moved CHECK ((payment_id IS NULL) = (moved_on IS NOT NULL)),
    CONSTRAINT allocation_of_something CHECK (amount_minor <> 0)
);
-- Before the rows: a foreign key added to a table with rows looks at the other table as its owner, who is held by row policies.
ALTER TABLE "allocation" ADD CONSTRAINT "allocation_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "allocation" ADD CONSTRAINT "allocation_business_id_invoice_id_fkey" FOREIGN KEY ("business_id", "invoice_id") REFERENCES "invoice"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "allocation" ADD CONSTRAINT "allocation_business_id_payment_id_fkey" FOREIGN KEY ("business_id", "payment_id") REFERENCES "payment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "allocation" ADD CONSTRAINT "allocation_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE payment NO FORCE ROW LEVEL SECURITY;
ALTER TABLE invoice NO FORCE ROW LEVEL SECURITY;
ALTER TABLE payment DISABLE TRIGGER payment_append_only;
INSERT INTO allocation (business_id, id, client_id, invoice_id, payment_id, amount_minor, command_id, created_at)
  SELECT business_id, id, client_id, invoice_id, id, amount_minor, command_id, created_at FROM payment WHERE amount_minor <> 0;
ALTER TABLE payment ADD COLUMN "currency" TEXT;
UPDATE payment SET currency = invoice.currency FROM invoice WHERE invoice.business_id = payment.business_id AND invoice.id = payment.invoice_id;
ALTER TABLE payment ALTER COLUMN "currency" SET NOT NULL, DROP COLUMN "invoice_id";
ALTER TABLE payment ENABLE TRIGGER payment_append_only;
ALTER TABLE payment FORCE ROW LEVEL SECURITY;
ALTER TABLE invoice FORCE ROW LEVEL SECURITY;
CREATE INDEX "payment_business_id_client_id_idx" ON "payment"("business_id", "client_id");
CREATE INDEX "allocation_business_id_invoice_id_idx" ON "allocation"("business_id", "invoice_id");
CREATE INDEX "allocation_business_id_payment_id_idx" ON "allocation"("business_id", "payment_id");
ALTER TABLE allocation ENABLE ROW LEVEL SECURITY;
ALTER TABLE allocation FORCE ROW LEVEL SECURITY;
CREATE POLICY allocation_office ON allocation FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON allocation TO tankround_office;
CREATE POLICY allocation_client ON allocation FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (client_id = (SELECT current_client())));
GRANT SELECT ON allocation TO tankround_client;
CREATE TRIGGER allocation_append_only BEFORE UPDATE OR DELETE ON allocation FOR EACH ROW EXECUTE FUNCTION refuse_change();
-- The newest documents come first in every list.
CREATE INDEX "invoice_business_id_document_type_issued_on_idx" ON "invoice"("business_id", "document_type", "issued_on");
ALTER TABLE business
  ADD COLUMN "tax_basis" TEXT NOT NULL DEFAULT 'issue', ADD CONSTRAINT business_tax_basis_known CHECK (tax_basis IN ('issue', 'service', 'cash')),
  ADD COLUMN "file_decimals" TEXT NOT NULL DEFAULT 'point', ADD CONSTRAINT business_file_decimals_known CHECK (file_decimals IN ('point', 'comma'));
