-- Why: whoever rings is told something, often at night by somebody who is not there the next day: what was said and told must be on record.
-- Kind: compatible; one new table.
-- Lock: none on what is there.   Way back: drop the table (what it holds stands in the log of commands too).
CREATE TABLE "phone_call" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "rang_at" TIMESTAMPTZ(3) NOT NULL,
    "sign" TEXT NOT NULL,
    "said" TEXT NOT NULL,
    "told" TEXT NOT NULL,
    "verdict" TEXT NOT NULL,
    "command_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT "phone_call_pkey" PRIMARY KEY ("business_id","id"),
    CONSTRAINT "phone_call_verdict" CHECK (verdict IN ('go', 'wait'))
);
CREATE INDEX "phone_call_business_id_tank_id_rang_at_idx" ON "phone_call"("business_id", "tank_id", "rang_at");
ALTER TABLE "phone_call" ADD CONSTRAINT "phone_call_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "phone_call" ADD CONSTRAINT "phone_call_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "phone_call" ADD CONSTRAINT "phone_call_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
CREATE TRIGGER phone_call_append_only BEFORE UPDATE OR DELETE ON phone_call FOR EACH ROW EXECUTE FUNCTION refuse_change();
ALTER TABLE phone_call ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY phone_call_office ON phone_call FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON phone_call TO tankround_office;
