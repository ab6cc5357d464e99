-- Why: a proposed interval is worked out for one fault; taken or declined it must not speak for the other faults of the same work.
-- Kind: compatible; a column without a default: null, as in all earlier rows, speaks for every fault of the work.
-- Lock: brief, no rewrite.   Way back: drop the column.
ALTER TABLE "interval_choice" ADD COLUMN "failure_mode" TEXT;
