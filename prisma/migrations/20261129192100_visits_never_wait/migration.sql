-- Why: a visit must never wait until all lanes of a business have been made again: it marks its devices, and they are made right
--   afterwards. And the life models of former nights, which nobody reads any more, may be thinned out.
-- Kind: expand; a new table, empty, and the rule of life_model relaxed: no change, and no deleting of the newest version.
-- Lock: brief, no rewrite.
-- Way back: make all lanes again (`npm run rebuild`), drop the table; drop life_model_keep_newest, create life_model_append_only again,
--   revoke DELETE. The version before this one neither reads the table nor deletes a model.

-- CreateTable
CREATE TABLE "stale_lane" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "equipment_id" UUID NOT NULL,
    "marked_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "stale_lane_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateIndex
CREATE INDEX "stale_lane_business_id_equipment_id_idx" ON "stale_lane"("business_id", "equipment_id");

-- AddForeignKey
ALTER TABLE "stale_lane" ADD CONSTRAINT "stale_lane_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stale_lane" ADD CONSTRAINT "stale_lane_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

ALTER TABLE "stale_lane" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "stale_lane" FORCE ROW LEVEL SECURITY;
CREATE POLICY stale_lane_office ON "stale_lane" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, DELETE ON "stale_lane" TO tankround_office;

-- A version of the models is never rewritten; the newest one, at which everything derived stands, cannot be deleted either.
CREATE FUNCTION keep_newest_model() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP = 'UPDATE' OR NOT EXISTS (
    SELECT 1 FROM life_model newer WHERE newer.business_id = OLD.business_id AND newer.version > OLD.version) THEN
    RAISE EXCEPTION 'the newest life_model is kept, and none is changed' USING ERRCODE = 'restrict_violation';
  END IF;
  RETURN OLD;
END $$;
DROP TRIGGER life_model_append_only ON "life_model";
CREATE TRIGGER life_model_keep_newest BEFORE UPDATE OR DELETE ON "life_model" FOR EACH ROW EXECUTE FUNCTION keep_newest_model();
GRANT DELETE ON "life_model" TO tankround_office;
