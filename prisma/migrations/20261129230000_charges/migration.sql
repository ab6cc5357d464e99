-- Why: what is billable is a charge (a tank's month, a visit, a part, a line written by hand). A line says which charges it bills and how much of
--   each, so that months are billed one by one, a tank's month once whatever becomes of its agreement, and a credit says whether it is billed
--   again. "Never bill" is a decision with a reason; who pays for a site has dates; a visit can be out of hours.
-- Kind: compatible for reading; lines that the previous version writes after it have no charges and would be proposed again.
-- Lock: exclusive on invoice_line, visit and business while columns are added; then one pass over the lines (about a second for 50,000).
-- Way back: drop the three tables and the columns.
--
-- What was billed before: each line gets its charges; one that spans months is split by month. A source that was credited whole is billable
-- again, part of one is given up: so did the former rule. A month that the former rule had passed over (in part only, or before one billed
-- already) is waived with that reason, where it is older than the newest month billed; it can be taken back.
ALTER TABLE "business" ADD COLUMN "part_months" TEXT NOT NULL DEFAULT 'full',
  ADD CONSTRAINT business_part_months_known CHECK (part_months IN ('full', 'pro_rata'));
ALTER TABLE "visit" ADD COLUMN "out_of_hours" BOOLEAN NOT NULL DEFAULT false;
ALTER TABLE "invoice_line" ADD COLUMN "credit_effect" TEXT,
  ADD CONSTRAINT invoice_line_credit_effect_known CHECK (credit_effect IN ('reopen', 'waive')),
  ADD CONSTRAINT invoice_line_credit_effect_of_credits CHECK (credit_effect IS NULL OR credits_line_id IS NOT NULL);
ALTER TABLE price_item DROP CONSTRAINT price_item_for_visit_kind_known,
  ADD CONSTRAINT price_item_for_visit_kind_known CHECK (for_visit_kind IN ('routine', 'call_out', 'installation', 'out_of_hours'));

CREATE TABLE "charge_line" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "line_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "period" TEXT NOT NULL DEFAULT '',
    "net_minor" INTEGER NOT NULL,
    "settles_minor" INTEGER NOT NULL,
    "due_minor" INTEGER NOT NULL,
    "facts" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "charge_line_pkey" PRIMARY KEY ("business_id","id")
);
CREATE TABLE "charge_waiver" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "period" TEXT NOT NULL DEFAULT '',
    "reason" TEXT NOT NULL,
    "takes_back_id" UUID,
    "made_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "charge_waiver_pkey" PRIMARY KEY ("business_id","id")
);
CREATE TABLE "site_payer" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "payer_client_id" UUID NOT NULL,
    "since" DATE NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "site_payer_pkey" PRIMARY KEY ("business_id","id")
);
ALTER TABLE charge_line ADD CONSTRAINT charge_line_kind_known CHECK (kind IN ('agreement_month', 'visit', 'part', 'hand')),
  ADD CONSTRAINT charge_line_period_of_months CHECK ((kind = 'agreement_month') = (period ~ '^\d{4}-(0[1-9]|1[0-2])$') AND (kind = 'agreement_month' OR period = ''));
ALTER TABLE charge_waiver ADD CONSTRAINT charge_waiver_kind_known CHECK (kind IN ('agreement_month', 'visit', 'part', 'hand')),
  ADD CONSTRAINT charge_waiver_period_of_months CHECK ((kind = 'agreement_month') = (period ~ '^\d{4}-(0[1-9]|1[0-2])$') AND (kind = 'agreement_month' OR period = ''));
CREATE INDEX "charge_line_business_id_kind_subject_id_period_idx" ON "charge_line"("business_id", "kind", "subject_id", "period");
CREATE INDEX "charge_line_business_id_line_id_idx" ON "charge_line"("business_id", "line_id");
CREATE INDEX "charge_waiver_business_id_kind_subject_id_period_idx" ON "charge_waiver"("business_id", "kind", "subject_id", "period");
CREATE UNIQUE INDEX "charge_waiver_business_id_takes_back_id_key" ON "charge_waiver"("business_id", "takes_back_id");
CREATE INDEX "site_payer_business_id_site_id_idx" ON "site_payer"("business_id", "site_id");
ALTER TABLE "charge_line" ADD CONSTRAINT "charge_line_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "charge_line" ADD CONSTRAINT "charge_line_business_id_line_id_fkey" FOREIGN KEY ("business_id", "line_id") REFERENCES "invoice_line"("business_id", "id") ON DELETE CASCADE ON UPDATE RESTRICT;
ALTER TABLE "charge_line" ADD CONSTRAINT "charge_line_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "charge_waiver" ADD CONSTRAINT "charge_waiver_business_id_takes_back_id_fkey" FOREIGN KEY ("business_id", "takes_back_id") REFERENCES "charge_waiver"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "charge_waiver" ADD CONSTRAINT "charge_waiver_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "site_payer" ADD CONSTRAINT "site_payer_business_id_site_id_fkey" FOREIGN KEY ("business_id", "site_id") REFERENCES "site"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "site_payer" ADD CONSTRAINT "site_payer_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "site_payer" ADD CONSTRAINT "site_payer_business_id_payer_client_id_fkey" FOREIGN KEY ("business_id", "payer_client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "site_payer" ADD CONSTRAINT "site_payer_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- What was so far, before anybody is kept from it. Ids follow from the rows that they are made of: migrated twice, the same data are the same.
SET LOCAL row_security = off;
DO $$ DECLARE held text; BEGIN
  FOREACH held IN ARRAY ARRAY['business', 'site', 'tank', 'agreement', 'visit', 'part_used', 'invoice', 'invoice_line'] LOOP
    EXECUTE format('ALTER TABLE %I NO FORCE ROW LEVEL SECURITY, DISABLE TRIGGER USER', held);
  END LOOP;
END $$;

INSERT INTO site_payer (business_id, id, site_id, client_id, payer_client_id, since, made_at)
SELECT business_id, md5('payer' || id)::uuid, id, client_id, COALESCE(payer_client_id, client_id), '1900-01-01', created_at FROM site;

CREATE TEMPORARY TABLE home ON COMMIT DROP AS SELECT business_id, id, COALESCE(merged_into_id, id) AS home_id FROM tank;
-- The first row of a part's chain of corrections.
CREATE TEMPORARY TABLE part_root ON COMMIT DROP AS
WITH RECURSIVE chain AS (
  SELECT business_id, id, id AS root_id FROM part_used WHERE corrects_id IS NULL
  UNION ALL
  SELECT newer.business_id, newer.id, chain.root_id FROM chain
  JOIN part_used newer ON newer.business_id = chain.business_id AND newer.corrects_id = chain.id)
SELECT * FROM chain;
CREATE TEMPORARY TABLE visit_facts ON COMMIT DROP AS
SELECT DISTINCT ON (v.business_id, v.id) v.business_id, v.id,
  concat_ws(' ', v.kind, v.outcome, COALESCE(v.minutes, ceil(extract(epoch FROM v.left_at - v.arrived_at) / 60)::int, v.planned_minutes, 0),
    CASE WHEN v.kind = 'routine' AND a.monthly_fee_minor > 0 THEN 'covered' END,
    CASE WHEN v.outcome = 'no_access' AND a.bill_no_access THEN 'billed' END) AS facts
FROM invoice_line line JOIN visit v ON v.business_id = line.business_id AND v.id = line.visit_id
JOIN home h ON h.business_id = v.business_id AND h.id = v.tank_id
LEFT JOIN (SELECT a.*, h.home_id FROM agreement a JOIN home h ON h.business_id = a.business_id AND h.id = a.tank_id
  WHERE a.ends_on IS NULL OR a.ends_on >= a.starts_on) a
  ON a.business_id = v.business_id AND a.home_id = h.home_id AND a.starts_on <= v.local_date AND (a.ends_on IS NULL OR a.ends_on >= v.local_date)
ORDER BY v.business_id, v.id, a.starts_on DESC NULLS LAST, a.id DESC;

-- Each line of an invoice or of a draft with what it bills.
CREATE TEMPORARY TABLE billed ON COMMIT DROP AS
SELECT line.business_id, line.id AS line_id, line.client_id, line.invoice_id, line.net_minor, line.quantity, line.agreement_id,
  CASE WHEN line.visit_id IS NOT NULL THEN 'visit' WHEN line.part_used_id IS NOT NULL THEN 'part'
    WHEN line.agreement_id IS NOT NULL AND line.service_start IS NOT NULL AND line.service_end >= line.service_start THEN 'agreement_month' ELSE 'hand' END AS kind,
  line.visit_id, line.part_used_id, line.service_start, line.service_end
FROM invoice_line line JOIN invoice whole ON whole.business_id = line.business_id AND whole.id = line.invoice_id
WHERE whole.document_type = 'invoice' AND line.credits_line_id IS NULL;

INSERT INTO charge_line (business_id, id, client_id, line_id, kind, subject_id, period, net_minor, settles_minor, due_minor, facts)
SELECT b.business_id, md5('charge' || b.line_id)::uuid, b.client_id, b.line_id, 'visit', b.visit_id, '', b.net_minor, b.net_minor,
  (sum(b.net_minor) OVER (PARTITION BY b.business_id, b.visit_id))::int, COALESCE(f.facts, '')
FROM billed b LEFT JOIN visit_facts f ON f.business_id = b.business_id AND f.id = b.visit_id WHERE b.kind = 'visit'
UNION ALL
SELECT b.business_id, md5('charge' || b.line_id)::uuid, b.client_id, b.line_id, 'part', r.root_id, '', b.net_minor, b.net_minor,
  (sum(b.net_minor) OVER (PARTITION BY b.business_id, r.root_id))::int,
  concat_ws(' ', p.quantity, p.billable::text, COALESCE(p.price_item_id::text, p.description))
FROM billed b JOIN part_root r ON r.business_id = b.business_id AND r.id = b.part_used_id
JOIN part_used p ON p.business_id = b.business_id AND p.id = b.part_used_id WHERE b.kind = 'part'
UNION ALL
SELECT b.business_id, md5('charge' || b.line_id)::uuid, b.client_id, b.line_id, 'hand', b.line_id, '', b.net_minor, GREATEST(b.net_minor, 0), GREATEST(b.net_minor, 0), ''
FROM billed b WHERE b.kind = 'hand'
UNION ALL
SELECT m.business_id, md5('charge' || m.line_id || m.period)::uuid, m.client_id, m.line_id, 'agreement_month', a.tank_id, m.period,
  (m.net_minor / m.months + CASE WHEN m.place <= abs(m.net_minor % m.months) THEN sign(m.net_minor) ELSE 0 END)::int,
  CASE WHEN a.monthly_fee_minor > 0 THEN a.monthly_fee_minor ELSE 0 END, a.monthly_fee_minor, 'full'
FROM (SELECT b.*, to_char(month, 'YYYY-MM') AS period, row_number() OVER (PARTITION BY b.business_id, b.line_id ORDER BY month) AS place,
    count(*) OVER (PARTITION BY b.business_id, b.line_id) AS months
  FROM billed b, generate_series(date_trunc('month', b.service_start), date_trunc('month', b.service_end), interval '1 month') AS month
  WHERE b.kind = 'agreement_month') m
JOIN agreement a ON a.business_id = m.business_id AND a.id = m.agreement_id;

-- Credits: whole means that every line of the source was credited to the last of its quantity.
CREATE TEMPORARY TABLE credited ON COMMIT DROP AS
SELECT b.*, COALESCE(b.visit_id, b.part_used_id, b.line_id) AS source_id,
  abs(b.quantity) <= COALESCE(sum(abs(c.quantity)) FILTER (WHERE note.state = 'issued'), 0) AS is_whole,
  abs(b.quantity) <= COALESCE(sum(abs(c.quantity)), 0) AS would_be_whole
FROM billed b
LEFT JOIN invoice_line c ON c.business_id = b.business_id AND c.credits_line_id = b.line_id
LEFT JOIN invoice note ON note.business_id = c.business_id AND note.id = c.invoice_id
GROUP BY b.business_id, b.line_id, b.client_id, b.invoice_id, b.net_minor, b.quantity, b.agreement_id, b.kind, b.visit_id, b.part_used_id, b.service_start, b.service_end;
CREATE TEMPORARY TABLE reopened ON COMMIT DROP AS
SELECT c.business_id, c.line_id, s.is_whole, s.would_be_whole
FROM credited c JOIN (SELECT business_id, kind, source_id, bool_and(is_whole) AS is_whole, bool_and(would_be_whole) AS would_be_whole
  FROM credited WHERE kind <> 'hand' GROUP BY business_id, kind, source_id) s
  ON s.business_id = c.business_id AND s.kind = c.kind AND s.source_id = c.source_id;
UPDATE invoice_line line SET credit_effect = CASE WHEN CASE WHEN note.state = 'issued' THEN r.is_whole ELSE r.would_be_whole END THEN 'reopen' ELSE 'waive' END
FROM invoice note, invoice_line credits LEFT JOIN reopened r ON r.business_id = credits.business_id AND r.line_id = credits.id
WHERE note.business_id = line.business_id AND note.id = line.invoice_id AND credits.business_id = line.business_id AND credits.id = line.credits_line_id;

INSERT INTO charge_line (business_id, id, client_id, line_id, kind, subject_id, period, net_minor, settles_minor, due_minor, facts)
SELECT c.business_id, md5('credited' || c.id || l.id)::uuid, c.client_id, c.id, l.kind, l.subject_id, l.period,
  -(c.net_minor / c.charges + CASE WHEN c.place <= abs(c.net_minor % c.charges) THEN sign(c.net_minor) ELSE 0 END)::int,
  CASE WHEN c.credit_effect = 'reopen' AND c.is_last THEN -l.settles_minor ELSE 0 END, l.due_minor, l.facts
FROM (SELECT c.*, l.id AS charge_id, row_number() OVER (PARTITION BY c.business_id, c.id ORDER BY l.period, l.id) AS place,
    count(*) OVER (PARTITION BY c.business_id, c.id) AS charges,
    row_number() OVER (PARTITION BY c.business_id, l.id ORDER BY note.issued_at DESC, c.id DESC) = 1 AS is_last
  FROM invoice_line c JOIN invoice note ON note.business_id = c.business_id AND note.id = c.invoice_id AND note.state = 'issued'
  JOIN charge_line l ON l.business_id = c.business_id AND l.line_id = c.credits_line_id) c
JOIN charge_line l ON l.business_id = c.business_id AND l.id = c.charge_id;

-- Months that the former rule had passed over.
INSERT INTO charge_waiver (business_id, id, kind, subject_id, period, reason, made_at)
SELECT passed.business_id, md5('passed' || passed.home_id || passed.period)::uuid, 'agreement_month', passed.home_id, passed.period, 'Passed over when it was billed: the agreement covered a part of the month only, or a later month had been billed already.', now()
FROM (SELECT a.business_id, h.home_id, to_char(month, 'YYYY-MM') AS period,
    bool_and(a.starts_on > month::date OR a.ends_on < (month + interval '1 month - 1 day')::date OR to_char(month, 'YYYY-MM') <= COALESCE(own.newest, '')) AS is_passed
  FROM agreement a JOIN home h ON h.business_id = a.business_id AND h.id = a.tank_id
  JOIN (SELECT l.business_id, max(l.period) AS newest FROM charge_line l WHERE l.kind = 'agreement_month' GROUP BY l.business_id) latest
    ON latest.business_id = a.business_id
  LEFT JOIN (SELECT b.business_id, b.agreement_id, to_char(max(b.service_end), 'YYYY-MM') AS newest FROM credited b
    WHERE b.kind = 'agreement_month' AND NOT b.is_whole GROUP BY b.business_id, b.agreement_id) own ON own.business_id = a.business_id AND own.agreement_id = a.id
  JOIN (SELECT a.business_id, h.home_id, LEAST(min(date_trunc('month', a.created_at)),
      (SELECT min((l.period || '-01')::date) FROM charge_line l JOIN home lh ON lh.business_id = l.business_id AND lh.id = l.subject_id
       WHERE l.business_id = a.business_id AND l.kind = 'agreement_month' AND lh.home_id = h.home_id)) AS first_month
    FROM agreement a JOIN home h ON h.business_id = a.business_id AND h.id = a.tank_id GROUP BY a.business_id, h.home_id) begun
    ON begun.business_id = a.business_id AND begun.home_id = h.home_id
  CROSS JOIN LATERAL generate_series(GREATEST(date_trunc('month', a.starts_on), begun.first_month),
    LEAST(date_trunc('month', a.ends_on), (latest.newest || '-01')::date - interval '1 month'), interval '1 month') AS month
  WHERE a.monthly_fee_minor > 0 AND (a.ends_on IS NULL OR a.ends_on >= a.starts_on)
  GROUP BY a.business_id, h.home_id, month) passed
WHERE passed.is_passed AND NOT EXISTS (
  SELECT 1 FROM charge_line l JOIN home lh ON lh.business_id = l.business_id AND lh.id = l.subject_id
  WHERE l.business_id = passed.business_id AND l.kind = 'agreement_month' AND lh.home_id = passed.home_id AND l.period = passed.period);

DO $$ DECLARE held text; BEGIN
  FOREACH held IN ARRAY ARRAY['business', 'site', 'tank', 'agreement', 'visit', 'part_used', 'invoice', 'invoice_line'] LOOP
    EXECUTE format('ALTER TABLE %I ENABLE TRIGGER USER, FORCE ROW LEVEL SECURITY', held);
  END LOOP;
END $$;

-- What an issued line bills is as frozen as the line; a credit note's charges are written just before it is issued.
CREATE FUNCTION keep_issued_charge() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE touched charge_line;
BEGIN
  touched := CASE WHEN TG_OP = 'DELETE' THEN OLD ELSE NEW END;
  IF EXISTS (SELECT 1 FROM invoice_line line JOIN invoice whole ON whole.business_id = line.business_id AND whole.id = line.invoice_id
             WHERE line.business_id = touched.business_id AND line.id = touched.line_id AND whole.state = 'issued') THEN
    RAISE EXCEPTION 'this charge is billed by an issued line and cannot change' USING ERRCODE = 'restrict_violation';
  END IF;
  RETURN touched;
END $$;
CREATE TRIGGER charge_line_keep_issued BEFORE INSERT OR UPDATE OR DELETE ON charge_line FOR EACH ROW EXECUTE FUNCTION keep_issued_charge();
CREATE TRIGGER charge_waiver_append_only BEFORE UPDATE OR DELETE ON charge_waiver FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER site_payer_append_only BEFORE UPDATE OR DELETE ON site_payer FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE charge_line ENABLE ROW LEVEL SECURITY;
ALTER TABLE charge_line FORCE ROW LEVEL SECURITY;
CREATE POLICY charge_line_office ON charge_line FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON charge_line TO tankround_office;
ALTER TABLE charge_waiver ENABLE ROW LEVEL SECURITY;
ALTER TABLE charge_waiver FORCE ROW LEVEL SECURITY;
CREATE POLICY charge_waiver_office ON charge_waiver FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON charge_waiver TO tankround_office;
ALTER TABLE site_payer ENABLE ROW LEVEL SECURITY;
ALTER TABLE site_payer FORCE ROW LEVEL SECURITY;
CREATE POLICY site_payer_office ON site_payer FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON site_payer TO tankround_office;
