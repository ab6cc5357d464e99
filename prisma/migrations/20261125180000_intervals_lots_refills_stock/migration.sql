-- Why: the owner accepts or declines proposed intervals, says what a need costs at a client and what was decided against a fault that
--   returns; lots that tanks share, things that run empty, parts on shelf and vans (decisions 0009 to 0011).
-- Kind: compatible; new tables and columns that may stay empty.   Lock: brief, no rewrite, no scan.   Way back: drop what is made here.
-- AlterTable
ALTER TABLE "tank" ADD COLUMN "has_furry_pets" BOOLEAN NOT NULL DEFAULT false,
ADD COLUMN "has_hard_tap_water" BOOLEAN NOT NULL DEFAULT false,
ADD COLUMN "is_heavily_stocked" BOOLEAN NOT NULL DEFAULT false,
ADD COLUMN "is_near_kitchen_or_smoke" BOOLEAN NOT NULL DEFAULT false;

-- AlterTable
ALTER TABLE "reading" ADD COLUMN "equipment_id" UUID;

-- AlterTable
ALTER TABLE "part_used" ADD COLUMN "part_id" UUID;

-- AlterTable
ALTER TABLE "due_item" ADD COLUMN "proposal" JSONB;

-- CreateTable
CREATE TABLE "interval_choice" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "equipment_id" UUID NOT NULL,
    "care_task" TEXT NOT NULL,
    "decision" TEXT NOT NULL,
    "interval_days" DOUBLE PRECISION,
    "former_days" DOUBLE PRECISION,
    "decided_on" DATE NOT NULL,
    "model_version" INTEGER NOT NULL,
    "saving_minor" INTEGER,
    "saving_lower_minor" INTEGER,
    "saving_upper_minor" INTEGER,
    "person_id" UUID,
    "command_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "interval_choice_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "client_cost" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "travel_minor" INTEGER NOT NULL DEFAULT 0,
    "goodwill_minor" INTEGER NOT NULL DEFAULT 0,
    "animals_per_day_minor" INTEGER NOT NULL DEFAULT 0,
    "command_id" UUID,
    "made_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "client_cost_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "fault_remedy" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "equipment_class" TEXT NOT NULL,
    "failure_mode" TEXT NOT NULL,
    "remedy" TEXT NOT NULL,
    "effective_on" DATE NOT NULL,
    "decided_on" DATE NOT NULL,
    "person_id" UUID,
    "command_id" UUID,
    "corrects_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "fault_remedy_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "lot" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "quantity_unit" TEXT NOT NULL DEFAULT '',
    "part_id" UUID,
    "received_on" DATE,
    "used_up_on" DATE,
    "note" TEXT NOT NULL DEFAULT '',
    "archived_at" TIMESTAMPTZ(3),
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "lot_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "lot_use" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "visit_id" UUID,
    "used_on" DATE NOT NULL,
    "command_id" UUID,
    "corrects_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "lot_use_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "reservoir" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "equipment_id" UUID,
    "kind" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "unit" TEXT NOT NULL,
    "capacity" DECIMAL(12,3) NOT NULL,
    "empty_at" DECIMAL(12,3) NOT NULL DEFAULT 0,
    "filled_by" TEXT NOT NULL DEFAULT 'technician',
    "archived_at" TIMESTAMPTZ(3),
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "reservoir_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "reservoir_level" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "reservoir_id" UUID NOT NULL,
    "visit_id" UUID,
    "measured_on" DATE NOT NULL,
    "level_before" DECIMAL(12,3),
    "level_after" DECIMAL(12,3),
    "made_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "command_id" UUID,
    "corrects_id" UUID,

    CONSTRAINT "reservoir_level_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "supplier" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "email" TEXT NOT NULL DEFAULT '',
    "phone" TEXT NOT NULL DEFAULT '',
    "lead_time_days" INTEGER NOT NULL DEFAULT 7,
    "note" TEXT NOT NULL DEFAULT '',
    "archived_at" TIMESTAMPTZ(3),
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "supplier_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "part" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "unit" TEXT NOT NULL DEFAULT 'piece',
    "supplier_id" UUID,
    "price_item_id" UUID,
    "cost_minor" INTEGER NOT NULL DEFAULT 0,
    "pack_size" INTEGER NOT NULL DEFAULT 1,
    "order_cost_minor" INTEGER NOT NULL DEFAULT 0,
    "lead_time_days" INTEGER,
    "service_level" DECIMAL(4,3) NOT NULL DEFAULT 0.95,
    "note" TEXT NOT NULL DEFAULT '',
    "archived_at" TIMESTAMPTZ(3),
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "part_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "part_fit" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "part_id" UUID NOT NULL,
    "equipment_class" TEXT NOT NULL,
    "equipment_id" UUID,
    "care_task" TEXT NOT NULL,
    "quantity" DECIMAL(12,3) NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "part_fit_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "stock_place" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "person_id" UUID,
    "archived_at" TIMESTAMPTZ(3),
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "stock_place_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "part_order" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "part_id" UUID NOT NULL,
    "supplier_id" UUID,
    "quantity" DECIMAL(12,3) NOT NULL,
    "ordered_on" DATE NOT NULL,
    "expected_on" DATE,
    "received_quantity" DECIMAL(12,3) NOT NULL DEFAULT 0,
    "closed_on" DATE,
    "note" TEXT NOT NULL DEFAULT '',
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "part_order_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "stock_move" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "part_id" UUID NOT NULL,
    "from_place_id" UUID,
    "to_place_id" UUID,
    "kind" TEXT NOT NULL,
    "quantity" DECIMAL(12,3) NOT NULL,
    "counted" DECIMAL(12,3),
    "moved_on" DATE NOT NULL,
    "visit_id" UUID,
    "part_used_id" UUID,
    "part_order_id" UUID,
    "note" TEXT NOT NULL DEFAULT '',
    "person_id" UUID,
    "command_id" UUID,
    "corrects_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "stock_move_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateIndex
CREATE INDEX "interval_choice_business_id_equipment_id_care_task_idx" ON "interval_choice"("business_id", "equipment_id", "care_task");

-- CreateIndex
CREATE INDEX "client_cost_business_id_client_id_made_at_idx" ON "client_cost"("business_id", "client_id", "made_at");

-- CreateIndex
CREATE INDEX "fault_remedy_business_id_tank_id_equipment_class_failure_mo_idx" ON "fault_remedy"("business_id", "tank_id", "equipment_class", "failure_mode");

-- CreateIndex
CREATE UNIQUE INDEX "fault_remedy_business_id_corrects_id_key" ON "fault_remedy"("business_id", "corrects_id");

-- CreateIndex
CREATE INDEX "lot_business_id_kind_idx" ON "lot"("business_id", "kind");

-- CreateIndex
CREATE INDEX "lot_use_business_id_lot_id_idx" ON "lot_use"("business_id", "lot_id");

-- CreateIndex
CREATE INDEX "lot_use_business_id_tank_id_used_on_idx" ON "lot_use"("business_id", "tank_id", "used_on");

-- CreateIndex
CREATE UNIQUE INDEX "lot_use_business_id_corrects_id_key" ON "lot_use"("business_id", "corrects_id");

-- CreateIndex
CREATE INDEX "reservoir_business_id_tank_id_idx" ON "reservoir"("business_id", "tank_id");

-- CreateIndex
CREATE INDEX "reservoir_level_business_id_reservoir_id_measured_on_idx" ON "reservoir_level"("business_id", "reservoir_id", "measured_on");

-- CreateIndex
CREATE UNIQUE INDEX "reservoir_level_business_id_corrects_id_key" ON "reservoir_level"("business_id", "corrects_id");

-- CreateIndex
CREATE INDEX "part_fit_business_id_part_id_idx" ON "part_fit"("business_id", "part_id");

-- CreateIndex
CREATE INDEX "part_fit_business_id_care_task_idx" ON "part_fit"("business_id", "care_task");

-- CreateIndex
CREATE INDEX "part_order_business_id_part_id_idx" ON "part_order"("business_id", "part_id");

-- CreateIndex
CREATE INDEX "stock_move_business_id_part_id_moved_on_idx" ON "stock_move"("business_id", "part_id", "moved_on");

-- CreateIndex
CREATE INDEX "stock_move_business_id_part_used_id_idx" ON "stock_move"("business_id", "part_used_id");

-- CreateIndex
CREATE INDEX "stock_move_business_id_visit_id_idx" ON "stock_move"("business_id", "visit_id");

-- CreateIndex
CREATE UNIQUE INDEX "stock_move_business_id_corrects_id_key" ON "stock_move"("business_id", "corrects_id");

-- CreateIndex
CREATE INDEX "reading_business_id_equipment_id_quantity_taken_on_idx" ON "reading"("business_id", "equipment_id", "quantity", "taken_on");

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_used" ADD CONSTRAINT "part_used_business_id_part_id_fkey" FOREIGN KEY ("business_id", "part_id") REFERENCES "part"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "interval_choice" ADD CONSTRAINT "interval_choice_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "interval_choice" ADD CONSTRAINT "interval_choice_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "interval_choice" ADD CONSTRAINT "interval_choice_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "client_cost" ADD CONSTRAINT "client_cost_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "client_cost" ADD CONSTRAINT "client_cost_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fault_remedy" ADD CONSTRAINT "fault_remedy_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fault_remedy" ADD CONSTRAINT "fault_remedy_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fault_remedy" ADD CONSTRAINT "fault_remedy_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "fault_remedy"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "fault_remedy" ADD CONSTRAINT "fault_remedy_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lot" ADD CONSTRAINT "lot_business_id_part_id_fkey" FOREIGN KEY ("business_id", "part_id") REFERENCES "part"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lot" ADD CONSTRAINT "lot_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lot_use" ADD CONSTRAINT "lot_use_business_id_lot_id_fkey" FOREIGN KEY ("business_id", "lot_id") REFERENCES "lot"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lot_use" ADD CONSTRAINT "lot_use_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lot_use" ADD CONSTRAINT "lot_use_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lot_use" ADD CONSTRAINT "lot_use_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "lot_use"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lot_use" ADD CONSTRAINT "lot_use_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reservoir" ADD CONSTRAINT "reservoir_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reservoir" ADD CONSTRAINT "reservoir_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reservoir" ADD CONSTRAINT "reservoir_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reservoir_level" ADD CONSTRAINT "reservoir_level_business_id_reservoir_id_fkey" FOREIGN KEY ("business_id", "reservoir_id") REFERENCES "reservoir"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reservoir_level" ADD CONSTRAINT "reservoir_level_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reservoir_level" ADD CONSTRAINT "reservoir_level_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "reservoir_level"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reservoir_level" ADD CONSTRAINT "reservoir_level_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "supplier" ADD CONSTRAINT "supplier_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part" ADD CONSTRAINT "part_business_id_supplier_id_fkey" FOREIGN KEY ("business_id", "supplier_id") REFERENCES "supplier"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part" ADD CONSTRAINT "part_business_id_price_item_id_fkey" FOREIGN KEY ("business_id", "price_item_id") REFERENCES "price_item"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part" ADD CONSTRAINT "part_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_fit" ADD CONSTRAINT "part_fit_business_id_part_id_fkey" FOREIGN KEY ("business_id", "part_id") REFERENCES "part"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_fit" ADD CONSTRAINT "part_fit_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_fit" ADD CONSTRAINT "part_fit_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_place" ADD CONSTRAINT "stock_place_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_place" ADD CONSTRAINT "stock_place_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_order" ADD CONSTRAINT "part_order_business_id_part_id_fkey" FOREIGN KEY ("business_id", "part_id") REFERENCES "part"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_order" ADD CONSTRAINT "part_order_business_id_supplier_id_fkey" FOREIGN KEY ("business_id", "supplier_id") REFERENCES "supplier"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_order" ADD CONSTRAINT "part_order_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_move" ADD CONSTRAINT "stock_move_business_id_part_id_fkey" FOREIGN KEY ("business_id", "part_id") REFERENCES "part"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_move" ADD CONSTRAINT "stock_move_business_id_from_place_id_fkey" FOREIGN KEY ("business_id", "from_place_id") REFERENCES "stock_place"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_move" ADD CONSTRAINT "stock_move_business_id_to_place_id_fkey" FOREIGN KEY ("business_id", "to_place_id") REFERENCES "stock_place"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_move" ADD CONSTRAINT "stock_move_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_move" ADD CONSTRAINT "stock_move_business_id_part_used_id_fkey" FOREIGN KEY ("business_id", "part_used_id") REFERENCES "part_used"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_move" ADD CONSTRAINT "stock_move_business_id_part_order_id_fkey" FOREIGN KEY ("business_id", "part_order_id") REFERENCES "part_order"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_move" ADD CONSTRAINT "stock_move_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_move" ADD CONSTRAINT "stock_move_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "stock_move"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_move" ADD CONSTRAINT "stock_move_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;


ALTER TABLE interval_choice ENABLE ROW LEVEL SECURITY;
ALTER TABLE interval_choice FORCE ROW LEVEL SECURITY;
CREATE POLICY interval_choice_office ON interval_choice FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON interval_choice TO tankround_office;
CREATE TRIGGER interval_choice_append_only BEFORE UPDATE OR DELETE ON interval_choice FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE client_cost ENABLE ROW LEVEL SECURITY;
ALTER TABLE client_cost FORCE ROW LEVEL SECURITY;
CREATE POLICY client_cost_office ON client_cost FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON client_cost TO tankround_office;
CREATE TRIGGER client_cost_append_only BEFORE UPDATE OR DELETE ON client_cost FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE fault_remedy ENABLE ROW LEVEL SECURITY;
ALTER TABLE fault_remedy FORCE ROW LEVEL SECURITY;
CREATE POLICY fault_remedy_office ON fault_remedy FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON fault_remedy TO tankround_office;
CREATE TRIGGER fault_remedy_append_only BEFORE UPDATE OR DELETE ON fault_remedy FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE lot_use ENABLE ROW LEVEL SECURITY;
ALTER TABLE lot_use FORCE ROW LEVEL SECURITY;
CREATE POLICY lot_use_office ON lot_use FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON lot_use TO tankround_office;
CREATE TRIGGER lot_use_append_only BEFORE UPDATE OR DELETE ON lot_use FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE reservoir_level ENABLE ROW LEVEL SECURITY;
ALTER TABLE reservoir_level FORCE ROW LEVEL SECURITY;
CREATE POLICY reservoir_level_office ON reservoir_level FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON reservoir_level TO tankround_office;
CREATE TRIGGER reservoir_level_append_only BEFORE UPDATE OR DELETE ON reservoir_level FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE stock_move ENABLE ROW LEVEL SECURITY;
ALTER TABLE stock_move FORCE ROW LEVEL SECURITY;
CREATE POLICY stock_move_office ON stock_move FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON stock_move TO tankround_office;
CREATE TRIGGER stock_move_append_only BEFORE UPDATE OR DELETE ON stock_move FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE lot ENABLE ROW LEVEL SECURITY;
ALTER TABLE lot FORCE ROW LEVEL SECURITY;
CREATE POLICY lot_office ON lot FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON lot TO tankround_office;

ALTER TABLE reservoir ENABLE ROW LEVEL SECURITY;
ALTER TABLE reservoir FORCE ROW LEVEL SECURITY;
CREATE POLICY reservoir_office ON reservoir FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON reservoir TO tankround_office;

ALTER TABLE supplier ENABLE ROW LEVEL SECURITY;
ALTER TABLE supplier FORCE ROW LEVEL SECURITY;
CREATE POLICY supplier_office ON supplier FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON supplier TO tankround_office;

ALTER TABLE part ENABLE ROW LEVEL SECURITY;
ALTER TABLE part FORCE ROW LEVEL SECURITY;
CREATE POLICY part_office ON part FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON part TO tankround_office;

ALTER TABLE stock_place ENABLE ROW LEVEL SECURITY;
ALTER TABLE stock_place FORCE ROW LEVEL SECURITY;
CREATE POLICY stock_place_office ON stock_place FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON stock_place TO tankround_office;

ALTER TABLE part_order ENABLE ROW LEVEL SECURITY;
ALTER TABLE part_order FORCE ROW LEVEL SECURITY;
CREATE POLICY part_order_office ON part_order FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON part_order TO tankround_office;

ALTER TABLE part_fit ENABLE ROW LEVEL SECURITY;
ALTER TABLE part_fit FORCE ROW LEVEL SECURITY;
CREATE POLICY part_fit_office ON part_fit FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON part_fit TO tankround_office;

ALTER TABLE interval_choice ADD CONSTRAINT interval_choice_decision_known CHECK (decision IN ('accepted', 'declined')), ADD CONSTRAINT interval_choice_positive CHECK (interval_days > 0);
ALTER TABLE client_cost ADD CONSTRAINT client_cost_not_negative CHECK (travel_minor >= 0 AND goodwill_minor >= 0 AND animals_per_day_minor >= 0);
ALTER TABLE lot ADD CONSTRAINT lot_kind_known CHECK (kind IN ('salt', 'reagent', 'food', 'lamp', 'tube', 'medium', 'other'));
ALTER TABLE reservoir ADD CONSTRAINT reservoir_kind_known CHECK (kind IN ('top-off-water', 'salt-water', 'salt', 'dose', 'food', 'gas', 'fleece', 'sock', 'other')),
  ADD CONSTRAINT reservoir_filled_by_known CHECK (filled_by IN ('technician', 'site-staff')), ADD CONSTRAINT reservoir_capacity_possible CHECK (capacity > 0 AND empty_at >= 0 AND empty_at < capacity);
ALTER TABLE reservoir_level ADD CONSTRAINT reservoir_level_not_negative CHECK (level_before >= 0 AND level_after >= 0), ADD CONSTRAINT reservoir_level_told CHECK (level_before IS NOT NULL OR level_after IS NOT NULL);
ALTER TABLE supplier ADD CONSTRAINT supplier_lead_time_possible CHECK (lead_time_days >= 0);
ALTER TABLE part ADD CONSTRAINT part_figures_possible CHECK (cost_minor >= 0 AND pack_size >= 1 AND order_cost_minor >= 0 AND lead_time_days >= 0 AND service_level >= 0.5 AND service_level < 1);
ALTER TABLE part_fit ADD CONSTRAINT part_fit_quantity_positive CHECK (quantity > 0);
ALTER TABLE stock_place ADD CONSTRAINT stock_place_kind_known CHECK (kind IN ('shelf', 'van'));
ALTER TABLE part_order ADD CONSTRAINT part_order_quantities_possible CHECK (quantity > 0 AND received_quantity >= 0);
ALTER TABLE stock_move ADD CONSTRAINT stock_move_kind_known CHECK (kind IN ('received', 'moved', 'used', 'counted', 'returned', 'written-off')),
  ADD CONSTRAINT stock_move_quantity_possible CHECK (quantity >= 0 AND (quantity > 0 OR kind = 'counted')),
  ADD CONSTRAINT stock_move_goes_somewhere CHECK (from_place_id IS DISTINCT FROM to_place_id);
