-- Why: lane.marks repeated every look of the business as JSON, the greater part of what a rebuild wrote; a page reads the marks of
--   the few lanes it shows from the findings and renewals themselves (decision 0012).
-- Kind: breaks the previous version of the code (it writes the column).   Lock: brief, no rewrite.   Way back: add the column as
--   JSONB NOT NULL DEFAULT '[]', rebuild (`npm run rebuild`).
ALTER TABLE "lane" DROP COLUMN "marks";
