-- Why: what is asked of all the devices of a large business takes seconds; pages read the answer that the worker made, not everything anew.
-- Kind: compatible; a new table, which can be emptied at any time: the worker fills it again.
-- Lock: none on what exists.   Way back: drop the table.
CREATE TABLE "stored_answer" (
    "business_id" UUID NOT NULL,
    "question" TEXT NOT NULL,
    "shape" INTEGER NOT NULL,
    "answer" JSONB NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "stored_answer_pkey" PRIMARY KEY ("business_id","question")
);
ALTER TABLE "stored_answer" ADD CONSTRAINT "stored_answer_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE stored_answer ENABLE ROW LEVEL SECURITY;
ALTER TABLE stored_answer FORCE ROW LEVEL SECURITY;
CREATE POLICY stored_answer_office ON stored_answer FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON stored_answer TO tankround_office;
