-- Why: lane.marks repeated every look of the business as JSON, the greater part of what a rebuild wrote; a page reads the marks of
--   the few lanes it shows from the findings and renewals themselves (decision 0012). The story of a fault needs the needs of one
--   class and mode over the whole route: an index of the needs alone, one look in twenty.
-- Kind: breaks the previous version of the code (it writes the column).   Lock: brief for the column; the index is built under a lock
--   against writes, about a second for a million findings.   Way back: add the column as JSONB NOT NULL DEFAULT '[]', drop the index,
--   rebuild (`npm run rebuild`).
ALTER TABLE "lane" DROP COLUMN "marks";

CREATE INDEX finding_needs_idx ON finding (business_id, equipment_class, failure_mode)
  WHERE learned_by = 'report' OR as_found IN ('needs_it', 'failed');
