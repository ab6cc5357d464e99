-- Why: what was behind a sign is kept as a case, so that the next search starts from what was found here before.
-- Kind: compatible; one new table.
-- Lock: none on what is there.   Way back: drop the table (what it holds stands in the log of commands too).
CREATE TABLE "fault_case" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "equipment_id" UUID,
    "sign" TEXT NOT NULL,
    "cause" TEXT NOT NULL,
    "found_on" DATE NOT NULL,
    "command_id" UUID,
    "corrects_id" UUID,
    "is_taken_back" BOOLEAN NOT NULL DEFAULT false,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT "fault_case_pkey" PRIMARY KEY ("business_id","id")
);
CREATE INDEX "fault_case_business_id_sign_cause_idx" ON "fault_case"("business_id", "sign", "cause");
CREATE INDEX "fault_case_business_id_tank_id_found_on_idx" ON "fault_case"("business_id", "tank_id", "found_on");
CREATE INDEX "fault_case_business_id_visit_id_idx" ON "fault_case"("business_id", "visit_id");
CREATE UNIQUE INDEX "fault_case_business_id_corrects_id_key" ON "fault_case"("business_id", "corrects_id");
ALTER TABLE "fault_case" ADD CONSTRAINT "fault_case_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "fault_case" ADD CONSTRAINT "fault_case_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "fault_case" ADD CONSTRAINT "fault_case_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "fault_case" ADD CONSTRAINT "fault_case_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "fault_case"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "fault_case" ADD CONSTRAINT "fault_case_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
CREATE TRIGGER fault_case_append_only BEFORE UPDATE OR DELETE ON fault_case FOR EACH ROW EXECUTE FUNCTION refuse_change();
ALTER TABLE fault_case ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY fault_case_office ON fault_case FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON fault_case TO tankround_office;
