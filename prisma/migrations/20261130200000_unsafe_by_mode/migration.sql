-- Why: Today asks for the few needs of dangerous failure modes; of 8,000 needs in sixty days it read every row to keep 200.
-- Kind: compatible; one index in another's place.
-- Lock: holds writes to finding while the index is built, some seconds at two million rows.   Way back: the former index of 20261129193000.
CREATE INDEX "finding_needs_by_mode_idx" ON "finding"("business_id", "found_on", "failure_mode") WHERE as_found IN ('needs_it', 'failed');
DROP INDEX "finding_needs_idx";
