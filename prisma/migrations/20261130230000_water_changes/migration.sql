-- Why: changing water is the most usual work of all, and could not be written down where no device stands for it.
-- Kind: compatible; one new table.
-- Lock: none on what is there.   Way back: drop the table (what it holds stands in the log of commands too).
CREATE TABLE "water_change" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "changed_on" DATE NOT NULL,
    "volume_l" DECIMAL(12,3) NOT NULL,
    "tank_volume_l" DECIMAL(12,3) NOT NULL,
    "salinity" DECIMAL(8,4),
    "temperature_c" DECIMAL(6,3),
    "entered_amount" TEXT NOT NULL,
    "entered_unit" TEXT NOT NULL,
    "entered_salinity" TEXT NOT NULL DEFAULT '',
    "command_id" UUID,
    "corrects_id" UUID,
    "is_taken_back" BOOLEAN NOT NULL DEFAULT false,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT "water_change_pkey" PRIMARY KEY ("business_id","id"),
    CONSTRAINT "water_change_volume" CHECK (volume_l > 0 AND tank_volume_l > 0)
);
CREATE INDEX "water_change_business_id_tank_id_changed_on_idx" ON "water_change"("business_id", "tank_id", "changed_on");
CREATE INDEX "water_change_business_id_visit_id_idx" ON "water_change"("business_id", "visit_id");
CREATE UNIQUE INDEX "water_change_business_id_corrects_id_key" ON "water_change"("business_id", "corrects_id");
ALTER TABLE "water_change" ADD CONSTRAINT "water_change_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "water_change" ADD CONSTRAINT "water_change_tank_client_fkey" FOREIGN KEY ("business_id", "client_id", "tank_id") REFERENCES "tank_client"("business_id", "client_id", "tank_id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "water_change" ADD CONSTRAINT "water_change_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "water_change" ADD CONSTRAINT "water_change_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "water_change" ADD CONSTRAINT "water_change_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "water_change"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "water_change" ADD CONSTRAINT "water_change_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
CREATE TRIGGER water_change_append_only BEFORE UPDATE OR DELETE ON water_change FOR EACH ROW EXECUTE FUNCTION refuse_change();
ALTER TABLE water_change ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY water_change_office ON water_change FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON water_change TO tankround_office;
CREATE POLICY water_change_client ON water_change FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND client_id = (SELECT current_client()));
GRANT SELECT ON water_change TO tankround_client;
