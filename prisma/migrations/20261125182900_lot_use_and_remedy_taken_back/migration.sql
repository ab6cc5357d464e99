-- Why: a lot ticked at the wrong tank and a remedy decided in error are taken back by a correcting row that says so.
-- Kind: compatible; two columns with a default.   Lock: brief, no rewrite.   Way back: drop the columns.
ALTER TABLE "lot_use" ADD COLUMN "is_taken_back" BOOLEAN NOT NULL DEFAULT false;
ALTER TABLE "fault_remedy" ADD COLUMN "is_taken_back" BOOLEAN NOT NULL DEFAULT false;
