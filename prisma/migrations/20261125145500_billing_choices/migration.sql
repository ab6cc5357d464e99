-- Why: an invoice line names its place as it was called when the invoice was written, so that an issued invoice prints the
-- same for ever; a price says which kind of visit it is for and why no tax is charged; an agreement says whether a visit
-- refused at the door is billed.
-- Kind: compatible (new columns with defaults; old code ignores them).
-- Lock: brief exclusive locks, no rewrite.   Way back: drop the columns.
ALTER TABLE invoice_line ADD COLUMN place_name text NOT NULL DEFAULT '';
ALTER TABLE price_item ADD COLUMN tax_exemption_reason text NOT NULL DEFAULT '',
  ADD COLUMN for_visit_kind text,
  ADD CONSTRAINT price_item_for_visit_kind_known CHECK (for_visit_kind IN ('routine', 'call_out', 'installation'));
ALTER TABLE agreement ADD COLUMN bill_no_access boolean NOT NULL DEFAULT false;
