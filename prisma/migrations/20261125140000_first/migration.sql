-- Why: the first schema: register, agreements, visits and what happened in them, money, commands, imports, derived rows.
-- Kind: first.   Lock: none, nothing exists yet.   Way back: drop the database.
-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "identity";

-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateTable
CREATE TABLE "business" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "legal_name" TEXT NOT NULL DEFAULT '',
    "address" TEXT NOT NULL DEFAULT '',
    "postcode" TEXT NOT NULL DEFAULT '',
    "city" TEXT NOT NULL DEFAULT '',
    "country" TEXT NOT NULL DEFAULT 'GB',
    "tax_number" TEXT NOT NULL DEFAULT '',
    "email" TEXT NOT NULL DEFAULT '',
    "phone" TEXT NOT NULL DEFAULT '',
    "iban" TEXT NOT NULL DEFAULT '',
    "bic" TEXT NOT NULL DEFAULT '',
    "currency" TEXT NOT NULL DEFAULT 'GBP',
    "locale" TEXT NOT NULL DEFAULT 'en-GB',
    "time_zone" TEXT NOT NULL DEFAULT 'Europe/London',
    "volume_unit" TEXT NOT NULL DEFAULT 'L',
    "gallon" TEXT,
    "payment_terms_days" INTEGER NOT NULL DEFAULT 14,
    "default_tax_category" TEXT NOT NULL DEFAULT 'S',
    "default_tax_rate" DECIMAL(5,2) NOT NULL DEFAULT 20,
    "quote_limit_minor" INTEGER NOT NULL DEFAULT 0,
    "is_demo" BOOLEAN NOT NULL DEFAULT false,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "business_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "person" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "is_technician" BOOLEAN NOT NULL DEFAULT false,
    "day_start" TEXT NOT NULL DEFAULT '08:00',
    "day_end" TEXT NOT NULL DEFAULT '17:00',
    "archived_at" TIMESTAMPTZ(3),
    "merged_into_id" UUID,
    "import_batch_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "person_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "person_private" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "email" TEXT NOT NULL DEFAULT '',
    "phone" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "person_private_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "membership" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "login_id" UUID,
    "roles" TEXT[],
    "client_id" UUID,
    "revoked_at" TIMESTAMPTZ(3),
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "membership_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "client" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "email" TEXT NOT NULL DEFAULT '',
    "phone" TEXT NOT NULL DEFAULT '',
    "billing_name" TEXT NOT NULL DEFAULT '',
    "billing_address" TEXT NOT NULL DEFAULT '',
    "billing_postcode" TEXT NOT NULL DEFAULT '',
    "billing_city" TEXT NOT NULL DEFAULT '',
    "billing_country" TEXT NOT NULL DEFAULT '',
    "tax_number" TEXT NOT NULL DEFAULT '',
    "payment_terms_days" INTEGER,
    "purchase_order_needed" BOOLEAN NOT NULL DEFAULT false,
    "purchase_order" TEXT NOT NULL DEFAULT '',
    "archived_at" TIMESTAMPTZ(3),
    "merged_into_id" UUID,
    "import_batch_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "client_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "client_private" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "tax_category" TEXT,
    "tax_rate" DECIMAL(5,2),

    CONSTRAINT "client_private_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "site" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "payer_client_id" UUID,
    "name" TEXT NOT NULL,
    "address" TEXT NOT NULL DEFAULT '',
    "postcode" TEXT NOT NULL DEFAULT '',
    "city" TEXT NOT NULL DEFAULT '',
    "country" TEXT NOT NULL DEFAULT '',
    "latitude" DOUBLE PRECISION,
    "longitude" DOUBLE PRECISION,
    "time_zone" TEXT,
    "archived_at" TIMESTAMPTZ(3),
    "merged_into_id" UUID,
    "import_batch_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "site_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "site_private" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "access_note" TEXT NOT NULL DEFAULT '',
    "access_windows" JSONB NOT NULL DEFAULT '[]',
    "purchase_order" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "site_private_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "site_contact" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "role" TEXT NOT NULL DEFAULT '',
    "phone" TEXT NOT NULL DEFAULT '',
    "email" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "site_contact_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "tank" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "profile" TEXT NOT NULL,
    "volume_l" DECIMAL(12,3) NOT NULL,
    "gross_volume_l" DECIMAL(12,3),
    "level_mark_display_mm" DECIMAL(8,1),
    "level_mark_sump_mm" DECIMAL(8,1),
    "has_stringy_refugium" BOOLEAN NOT NULL DEFAULT false,
    "has_fine_sand" BOOLEAN NOT NULL DEFAULT false,
    "dangerous_animals" TEXT NOT NULL DEFAULT '',
    "taken_over_on" DATE,
    "archived_at" TIMESTAMPTZ(3),
    "merged_into_id" UUID,
    "import_batch_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "tank_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "tank_private" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "breaker" TEXT NOT NULL DEFAULT '',
    "shut_offs" TEXT NOT NULL DEFAULT '',
    "faults_at_takeover" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "tank_private_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "tank_client" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "since" DATE NOT NULL,
    "until" DATE,
    "import_batch_id" UUID,

    CONSTRAINT "tank_client_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "slot" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "equipment_class" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "archived_at" TIMESTAMPTZ(3),
    "import_batch_id" UUID,

    CONSTRAINT "slot_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "equipment" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "slot_id" UUID NOT NULL,
    "equipment_class" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "installed_on" DATE,
    "installed_confirmed_new" BOOLEAN NOT NULL DEFAULT false,
    "first_seen_on" DATE,
    "removed_on" DATE,
    "removed_because_mode" TEXT,
    "replaces_id" UUID,
    "own_words" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',
    "import_batch_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "equipment_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "agreement" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "every_days" INTEGER NOT NULL,
    "anchor_on" DATE NOT NULL,
    "visit_minutes" INTEGER NOT NULL DEFAULT 45,
    "monthly_fee_minor" INTEGER NOT NULL DEFAULT 0,
    "includes" TEXT NOT NULL DEFAULT '',
    "preferred_person_id" UUID,
    "purchase_order" TEXT NOT NULL DEFAULT '',
    "starts_on" DATE NOT NULL,
    "ends_on" DATE,
    "import_batch_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "agreement_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "visit" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "technician_id" UUID,
    "kind" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "local_date" DATE NOT NULL,
    "time_zone" TEXT NOT NULL,
    "window_start" TEXT NOT NULL DEFAULT '',
    "window_end" TEXT NOT NULL DEFAULT '',
    "planned_start" TIMESTAMPTZ(3),
    "planned_end" TIMESTAMPTZ(3),
    "planned_minutes" INTEGER,
    "overlap_accepted" BOOLEAN NOT NULL DEFAULT false,
    "what_for" TEXT NOT NULL DEFAULT '',
    "outcome" TEXT,
    "arrived_at" TIMESTAMPTZ(3),
    "left_at" TIMESTAMPTZ(3),
    "minutes" INTEGER,
    "note_for_client" TEXT NOT NULL DEFAULT '',
    "import_batch_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "visit_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "visit_private" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "note_for_us" TEXT NOT NULL DEFAULT '',
    "cancelled_reason" TEXT NOT NULL DEFAULT '',
    "left_early_reason" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "visit_private_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "visit_event" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "visit_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "detail" JSONB NOT NULL DEFAULT '{}',
    "command_id" UUID,
    "person_id" UUID,
    "corrects_id" UUID,
    "import_batch_id" UUID,

    CONSTRAINT "visit_event_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "finding" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "visit_id" UUID,
    "slot_id" UUID,
    "equipment_id" UUID,
    "equipment_class" TEXT NOT NULL,
    "failure_mode" TEXT NOT NULL,
    "as_found" TEXT NOT NULL,
    "depth" TEXT NOT NULL,
    "learned_by" TEXT NOT NULL DEFAULT 'look',
    "reported_on" DATE,
    "reported_sure" BOOLEAN,
    "found_on" DATE NOT NULL,
    "symptom" TEXT NOT NULL DEFAULT '',
    "cause" TEXT NOT NULL DEFAULT '',
    "remedy" TEXT NOT NULL DEFAULT '',
    "as_left" TEXT NOT NULL DEFAULT '',
    "cure_confidence" TEXT,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "device_seq" INTEGER NOT NULL DEFAULT 0,
    "command_id" UUID,
    "corrects_id" UUID,
    "import_batch_id" UUID,

    CONSTRAINT "finding_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "renewal" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "visit_id" UUID,
    "slot_id" UUID,
    "equipment_id" UUID NOT NULL,
    "failure_mode" TEXT NOT NULL,
    "care_task" TEXT NOT NULL DEFAULT '',
    "reason" TEXT NOT NULL,
    "is_partial" BOOLEAN NOT NULL DEFAULT false,
    "renewed_on" DATE NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "device_seq" INTEGER NOT NULL DEFAULT 0,
    "command_id" UUID,
    "corrects_id" UUID,
    "import_batch_id" UUID,

    CONSTRAINT "renewal_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "reading" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "visit_id" UUID,
    "quantity" TEXT NOT NULL,
    "value" DECIMAL(14,6) NOT NULL,
    "unit" TEXT NOT NULL,
    "entered_value" TEXT NOT NULL,
    "entered_unit" TEXT NOT NULL,
    "taken_at" TIMESTAMPTZ(3) NOT NULL,
    "taken_on" DATE NOT NULL,
    "command_id" UUID,
    "corrects_id" UUID,
    "import_batch_id" UUID,

    CONSTRAINT "reading_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "price_item" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "unit" TEXT NOT NULL DEFAULT 'piece',
    "unit_price" DECIMAL(14,4) NOT NULL,
    "tax_category" TEXT NOT NULL DEFAULT 'S',
    "tax_rate" DECIMAL(5,2) NOT NULL,
    "valid_from" DATE NOT NULL,
    "archived_at" TIMESTAMPTZ(3),

    CONSTRAINT "price_item_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "part_used" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "visit_id" UUID,
    "price_item_id" UUID,
    "description" TEXT NOT NULL,
    "quantity" DECIMAL(12,3) NOT NULL,
    "used_on" DATE NOT NULL,
    "billable" BOOLEAN NOT NULL DEFAULT true,
    "command_id" UUID,
    "corrects_id" UUID,
    "import_batch_id" UUID,

    CONSTRAINT "part_used_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "photo" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "visit_id" UUID,
    "sha256" TEXT NOT NULL,
    "media_type" TEXT NOT NULL,
    "width_px" INTEGER NOT NULL,
    "height_px" INTEGER NOT NULL,
    "size_bytes" INTEGER NOT NULL,
    "caption" TEXT NOT NULL DEFAULT '',
    "for_client" BOOLEAN NOT NULL DEFAULT false,
    "taken_at" TIMESTAMPTZ(3) NOT NULL,
    "hidden_at" TIMESTAMPTZ(3),
    "command_id" UUID,

    CONSTRAINT "photo_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "follow_up" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "visit_id" UUID,
    "what" TEXT NOT NULL,
    "due_on" DATE NOT NULL,
    "person_id" UUID,
    "done_at" TIMESTAMPTZ(3),
    "done_by_id" UUID,
    "done_note" TEXT NOT NULL DEFAULT '',
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "follow_up_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "visit_request" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "person_id" UUID,
    "words" TEXT NOT NULL,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'open',
    "visit_id" UUID,
    "answer" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "visit_request_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "invoice" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "document_type" TEXT NOT NULL DEFAULT 'invoice',
    "state" TEXT NOT NULL DEFAULT 'draft',
    "number" TEXT,
    "issued_on" DATE,
    "due_on" DATE,
    "service_start" DATE,
    "service_end" DATE,
    "currency" TEXT NOT NULL,
    "purchase_order" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',
    "seller" JSONB NOT NULL DEFAULT '{}',
    "buyer" JSONB NOT NULL DEFAULT '{}',
    "tax_breakdown" JSONB NOT NULL DEFAULT '[]',
    "net_minor" INTEGER NOT NULL DEFAULT 0,
    "tax_minor" INTEGER NOT NULL DEFAULT 0,
    "gross_minor" INTEGER NOT NULL DEFAULT 0,
    "corrects_invoice_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "issued_at" TIMESTAMPTZ(3),

    CONSTRAINT "invoice_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "invoice_line" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "invoice_id" UUID NOT NULL,
    "position" INTEGER NOT NULL,
    "description" TEXT NOT NULL,
    "quantity" DECIMAL(12,3) NOT NULL,
    "unit" TEXT NOT NULL DEFAULT 'piece',
    "unit_price" DECIMAL(14,4) NOT NULL,
    "net_minor" INTEGER NOT NULL,
    "tax_category" TEXT NOT NULL,
    "tax_rate" DECIMAL(5,2) NOT NULL,
    "tax_exemption_reason" TEXT NOT NULL DEFAULT '',
    "tax_valid_from" DATE,
    "service_start" DATE,
    "service_end" DATE,
    "purchase_order" TEXT NOT NULL DEFAULT '',
    "tank_id" UUID,
    "visit_id" UUID,
    "part_used_id" UUID,
    "agreement_id" UUID,
    "credits_line_id" UUID,

    CONSTRAINT "invoice_line_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "payment" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "client_id" UUID NOT NULL,
    "invoice_id" UUID NOT NULL,
    "received_on" DATE NOT NULL,
    "amount_minor" INTEGER NOT NULL,
    "method" TEXT NOT NULL DEFAULT '',
    "reference" TEXT NOT NULL DEFAULT '',
    "corrects_id" UUID,
    "command_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "payment_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "number_series" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "document_type" TEXT NOT NULL,
    "prefix" TEXT NOT NULL DEFAULT '',
    "next_number" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "number_series_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "command" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "device_id" TEXT NOT NULL,
    "device_seq" INTEGER NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "clock_offset_ms" INTEGER NOT NULL DEFAULT 0,
    "kind" TEXT NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "payload" JSONB NOT NULL,
    "received_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "status" TEXT NOT NULL,
    "reason" TEXT NOT NULL DEFAULT '',
    "result" JSONB,
    "person_id" UUID NOT NULL,

    CONSTRAINT "command_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "import_batch" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "person_id" UUID,
    "file_names" TEXT[],
    "options" JSONB NOT NULL DEFAULT '{}',
    "mapping" JSONB NOT NULL DEFAULT '{}',
    "report" JSONB NOT NULL DEFAULT '{}',
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "withdrawn_at" TIMESTAMPTZ(3),

    CONSTRAINT "import_batch_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "import_row" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "import_batch_id" UUID NOT NULL,
    "file_kind" TEXT NOT NULL,
    "line" INTEGER NOT NULL,
    "row_key" TEXT NOT NULL,
    "entity_id" UUID,

    CONSTRAINT "import_row_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "audit" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "person_id" UUID,
    "action" TEXT NOT NULL,
    "entity" TEXT NOT NULL,
    "entity_id" UUID,
    "before" JSONB,
    "after" JSONB,
    "command_id" UUID,

    CONSTRAINT "audit_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "catalogue_overlay" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "slug" TEXT NOT NULL,
    "equipment_class" TEXT NOT NULL DEFAULT '',
    "name" TEXT NOT NULL DEFAULT '',
    "look_needed" TEXT,
    "announces_itself" BOOLEAN,
    "interval_days" INTEGER,
    "median_days" DECIMAL(10,2),
    "shape" DECIMAL(8,4),
    "import_batch_id" UUID,

    CONSTRAINT "catalogue_overlay_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "cost_setting" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "version" INTEGER NOT NULL,
    "equipment_class" TEXT NOT NULL DEFAULT '*',
    "failure_mode" TEXT NOT NULL DEFAULT '*',
    "planned_minor" INTEGER NOT NULL,
    "found_minor" INTEGER NOT NULL,
    "call_out_minor" INTEGER NOT NULL,
    "hidden_per_day_minor" INTEGER NOT NULL DEFAULT 0,
    "share_reported" DECIMAL(5,4) NOT NULL DEFAULT 0.1,
    "made_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "cost_setting_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "life_model" (
    "business_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "version" INTEGER NOT NULL,
    "equipment_class" TEXT NOT NULL,
    "failure_mode" TEXT NOT NULL,
    "cutoff_on" DATE NOT NULL,
    "shape" DOUBLE PRECISION,
    "scale_days" DOUBLE PRECISION,
    "log_likelihood" DOUBLE PRECISION,
    "lives" INTEGER NOT NULL,
    "events" INTEGER NOT NULL,
    "not_estimable" TEXT,
    "source" TEXT NOT NULL,
    "parameters" JSONB NOT NULL DEFAULT '{}',
    "made_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "life_model_pkey" PRIMARY KEY ("business_id","id")
);

-- CreateTable
CREATE TABLE "lane" (
    "business_id" UUID NOT NULL,
    "equipment_id" UUID NOT NULL,
    "failure_mode" TEXT NOT NULL,
    "equipment_class" TEXT NOT NULL,
    "tank_id" UUID NOT NULL,
    "slot_id" UUID NOT NULL,
    "origin_on" DATE,
    "last_look_on" DATE,
    "last_ok_on" DATE,
    "running_since_on" DATE,
    "looks" INTEGER NOT NULL DEFAULT 0,
    "events" INTEGER NOT NULL DEFAULT 0,
    "expected" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "lives" JSONB NOT NULL DEFAULT '[]',
    "marks" JSONB NOT NULL DEFAULT '[]',

    CONSTRAINT "lane_pkey" PRIMARY KEY ("business_id","equipment_id","failure_mode")
);

-- CreateTable
CREATE TABLE "due_item" (
    "business_id" UUID NOT NULL,
    "equipment_id" UUID NOT NULL,
    "care_task" TEXT NOT NULL,
    "failure_mode" TEXT NOT NULL,
    "equipment_class" TEXT NOT NULL,
    "tank_id" UUID NOT NULL,
    "due_on" DATE,
    "earliest_on" DATE,
    "latest_on" DATE,
    "interval_days" DOUBLE PRECISION,
    "model_version" INTEGER NOT NULL,
    "cost_version" INTEGER NOT NULL,
    "reason" JSONB NOT NULL DEFAULT '{}',

    CONSTRAINT "due_item_pkey" PRIMARY KEY ("business_id","equipment_id","care_task")
);

-- CreateTable
CREATE TABLE "repeat_fault" (
    "business_id" UUID NOT NULL,
    "tank_id" UUID NOT NULL,
    "equipment_class" TEXT NOT NULL,
    "failure_mode" TEXT NOT NULL,
    "observed" INTEGER NOT NULL,
    "expected" DOUBLE PRECISION NOT NULL,
    "rate_ratio" DOUBLE PRECISION NOT NULL,
    "ratio_lower" DOUBLE PRECISION NOT NULL,
    "ratio_upper" DOUBLE PRECISION NOT NULL,
    "probability_above" DOUBLE PRECISION NOT NULL,
    "p_value" DOUBLE PRECISION NOT NULL,
    "adjusted_p" DOUBLE PRECISION NOT NULL,
    "is_sure" BOOLEAN NOT NULL DEFAULT false,
    "rank" INTEGER NOT NULL,
    "overdispersed" BOOLEAN NOT NULL DEFAULT false,
    "model_version" INTEGER NOT NULL,

    CONSTRAINT "repeat_fault_pkey" PRIMARY KEY ("business_id","tank_id","equipment_class","failure_mode")
);

-- CreateTable
CREATE TABLE "identity"."login" (
    "id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "password_hash" TEXT,
    "session_version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "disabled_at" TIMESTAMPTZ(3),

    CONSTRAINT "login_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "identity"."one_time_link" (
    "id" UUID NOT NULL,
    "purpose" TEXT NOT NULL,
    "token_hash" TEXT NOT NULL,
    "login_id" UUID,
    "business_id" UUID,
    "membership_id" UUID,
    "email" TEXT NOT NULL DEFAULT '',
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "used_at" TIMESTAMPTZ(3),
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "one_time_link_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "identity"."backup_run" (
    "id" UUID NOT NULL,
    "finished_at" TIMESTAMPTZ(3) NOT NULL,
    "size_bytes" BIGINT NOT NULL,
    "sha256" TEXT NOT NULL,

    CONSTRAINT "backup_run_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "identity"."rate_limit" (
    "key" TEXT NOT NULL,
    "points" INTEGER NOT NULL DEFAULT 0,
    "expire" BIGINT,

    CONSTRAINT "rate_limit_pkey" PRIMARY KEY ("key")
);

-- CreateIndex
CREATE UNIQUE INDEX "person_private_business_id_person_id_key" ON "person_private"("business_id", "person_id");

-- CreateIndex
CREATE INDEX "membership_business_id_login_id_idx" ON "membership"("business_id", "login_id");

-- CreateIndex
CREATE UNIQUE INDEX "client_private_business_id_client_id_key" ON "client_private"("business_id", "client_id");

-- CreateIndex
CREATE INDEX "site_business_id_client_id_idx" ON "site"("business_id", "client_id");

-- CreateIndex
CREATE UNIQUE INDEX "site_private_business_id_site_id_key" ON "site_private"("business_id", "site_id");

-- CreateIndex
CREATE INDEX "site_contact_business_id_site_id_idx" ON "site_contact"("business_id", "site_id");

-- CreateIndex
CREATE INDEX "tank_business_id_client_id_idx" ON "tank"("business_id", "client_id");

-- CreateIndex
CREATE INDEX "tank_business_id_site_id_idx" ON "tank"("business_id", "site_id");

-- CreateIndex
CREATE UNIQUE INDEX "tank_private_business_id_tank_id_key" ON "tank_private"("business_id", "tank_id");

-- CreateIndex
CREATE UNIQUE INDEX "tank_client_business_id_client_id_tank_id_key" ON "tank_client"("business_id", "client_id", "tank_id");

-- CreateIndex
CREATE INDEX "slot_business_id_tank_id_idx" ON "slot"("business_id", "tank_id");

-- CreateIndex
CREATE INDEX "equipment_business_id_tank_id_idx" ON "equipment"("business_id", "tank_id");

-- CreateIndex
CREATE INDEX "equipment_business_id_slot_id_idx" ON "equipment"("business_id", "slot_id");

-- CreateIndex
CREATE INDEX "agreement_business_id_tank_id_idx" ON "agreement"("business_id", "tank_id");

-- CreateIndex
CREATE INDEX "agreement_business_id_client_id_idx" ON "agreement"("business_id", "client_id");

-- CreateIndex
CREATE INDEX "visit_business_id_technician_id_local_date_idx" ON "visit"("business_id", "technician_id", "local_date");

-- CreateIndex
CREATE INDEX "visit_business_id_tank_id_local_date_idx" ON "visit"("business_id", "tank_id", "local_date");

-- CreateIndex
CREATE INDEX "visit_business_id_local_date_idx" ON "visit"("business_id", "local_date");

-- CreateIndex
CREATE INDEX "visit_business_id_client_id_local_date_idx" ON "visit"("business_id", "client_id", "local_date");

-- CreateIndex
CREATE UNIQUE INDEX "visit_private_business_id_visit_id_key" ON "visit_private"("business_id", "visit_id");

-- CreateIndex
CREATE INDEX "visit_event_business_id_visit_id_idx" ON "visit_event"("business_id", "visit_id");

-- CreateIndex
CREATE UNIQUE INDEX "visit_event_business_id_corrects_id_key" ON "visit_event"("business_id", "corrects_id");

-- CreateIndex
CREATE INDEX "finding_business_id_tank_id_found_on_idx" ON "finding"("business_id", "tank_id", "found_on");

-- CreateIndex
CREATE INDEX "finding_business_id_equipment_id_failure_mode_found_on_idx" ON "finding"("business_id", "equipment_id", "failure_mode", "found_on");

-- CreateIndex
CREATE INDEX "finding_business_id_visit_id_idx" ON "finding"("business_id", "visit_id");

-- CreateIndex
CREATE UNIQUE INDEX "finding_business_id_corrects_id_key" ON "finding"("business_id", "corrects_id");

-- CreateIndex
CREATE INDEX "renewal_business_id_equipment_id_failure_mode_renewed_on_idx" ON "renewal"("business_id", "equipment_id", "failure_mode", "renewed_on");

-- CreateIndex
CREATE INDEX "renewal_business_id_visit_id_idx" ON "renewal"("business_id", "visit_id");

-- CreateIndex
CREATE INDEX "renewal_business_id_tank_id_renewed_on_idx" ON "renewal"("business_id", "tank_id", "renewed_on");

-- CreateIndex
CREATE UNIQUE INDEX "renewal_business_id_corrects_id_key" ON "renewal"("business_id", "corrects_id");

-- CreateIndex
CREATE INDEX "reading_business_id_tank_id_quantity_taken_on_idx" ON "reading"("business_id", "tank_id", "quantity", "taken_on");

-- CreateIndex
CREATE INDEX "reading_business_id_visit_id_idx" ON "reading"("business_id", "visit_id");

-- CreateIndex
CREATE UNIQUE INDEX "reading_business_id_corrects_id_key" ON "reading"("business_id", "corrects_id");

-- CreateIndex
CREATE INDEX "part_used_business_id_visit_id_idx" ON "part_used"("business_id", "visit_id");

-- CreateIndex
CREATE INDEX "part_used_business_id_client_id_used_on_idx" ON "part_used"("business_id", "client_id", "used_on");

-- CreateIndex
CREATE UNIQUE INDEX "part_used_business_id_corrects_id_key" ON "part_used"("business_id", "corrects_id");

-- CreateIndex
CREATE INDEX "photo_business_id_visit_id_idx" ON "photo"("business_id", "visit_id");

-- CreateIndex
CREATE INDEX "photo_business_id_tank_id_idx" ON "photo"("business_id", "tank_id");

-- CreateIndex
CREATE INDEX "follow_up_business_id_due_on_idx" ON "follow_up"("business_id", "due_on");

-- CreateIndex
CREATE INDEX "follow_up_business_id_tank_id_idx" ON "follow_up"("business_id", "tank_id");

-- CreateIndex
CREATE INDEX "visit_request_business_id_state_idx" ON "visit_request"("business_id", "state");

-- CreateIndex
CREATE INDEX "invoice_business_id_client_id_idx" ON "invoice"("business_id", "client_id");

-- CreateIndex
CREATE INDEX "invoice_business_id_state_issued_on_idx" ON "invoice"("business_id", "state", "issued_on");

-- CreateIndex
CREATE UNIQUE INDEX "invoice_business_id_document_type_number_key" ON "invoice"("business_id", "document_type", "number");

-- CreateIndex
CREATE INDEX "invoice_line_business_id_invoice_id_idx" ON "invoice_line"("business_id", "invoice_id");

-- CreateIndex
CREATE INDEX "invoice_line_business_id_visit_id_idx" ON "invoice_line"("business_id", "visit_id");

-- CreateIndex
CREATE INDEX "invoice_line_business_id_part_used_id_idx" ON "invoice_line"("business_id", "part_used_id");

-- CreateIndex
CREATE INDEX "invoice_line_business_id_agreement_id_service_start_idx" ON "invoice_line"("business_id", "agreement_id", "service_start");

-- CreateIndex
CREATE INDEX "payment_business_id_invoice_id_idx" ON "payment"("business_id", "invoice_id");

-- CreateIndex
CREATE INDEX "payment_business_id_received_on_idx" ON "payment"("business_id", "received_on");

-- CreateIndex
CREATE UNIQUE INDEX "payment_business_id_corrects_id_key" ON "payment"("business_id", "corrects_id");

-- CreateIndex
CREATE UNIQUE INDEX "number_series_business_id_document_type_key" ON "number_series"("business_id", "document_type");

-- CreateIndex
CREATE INDEX "command_business_id_person_id_received_at_idx" ON "command"("business_id", "person_id", "received_at");

-- CreateIndex
CREATE INDEX "command_business_id_status_idx" ON "command"("business_id", "status");

-- CreateIndex
CREATE INDEX "import_row_business_id_file_kind_row_key_idx" ON "import_row"("business_id", "file_kind", "row_key");

-- CreateIndex
CREATE INDEX "import_row_business_id_import_batch_id_idx" ON "import_row"("business_id", "import_batch_id");

-- CreateIndex
CREATE INDEX "audit_business_id_entity_entity_id_idx" ON "audit"("business_id", "entity", "entity_id");

-- CreateIndex
CREATE INDEX "audit_business_id_at_idx" ON "audit"("business_id", "at");

-- CreateIndex
CREATE INDEX "catalogue_overlay_business_id_kind_slug_idx" ON "catalogue_overlay"("business_id", "kind", "slug");

-- CreateIndex
CREATE UNIQUE INDEX "cost_setting_business_id_version_equipment_class_failure_mo_key" ON "cost_setting"("business_id", "version", "equipment_class", "failure_mode");

-- CreateIndex
CREATE UNIQUE INDEX "life_model_business_id_version_equipment_class_failure_mode_key" ON "life_model"("business_id", "version", "equipment_class", "failure_mode");

-- CreateIndex
CREATE INDEX "lane_business_id_tank_id_idx" ON "lane"("business_id", "tank_id");

-- CreateIndex
CREATE INDEX "lane_business_id_equipment_class_failure_mode_idx" ON "lane"("business_id", "equipment_class", "failure_mode");

-- CreateIndex
CREATE INDEX "due_item_business_id_due_on_idx" ON "due_item"("business_id", "due_on");

-- CreateIndex
CREATE INDEX "due_item_business_id_tank_id_idx" ON "due_item"("business_id", "tank_id");

-- CreateIndex
CREATE INDEX "repeat_fault_business_id_is_sure_idx" ON "repeat_fault"("business_id", "is_sure");

-- CreateIndex
CREATE UNIQUE INDEX "login_email_key" ON "identity"."login"("email");

-- CreateIndex
CREATE UNIQUE INDEX "one_time_link_token_hash_key" ON "identity"."one_time_link"("token_hash");

-- AddForeignKey
ALTER TABLE "person" ADD CONSTRAINT "person_business_id_merged_into_id_fkey" FOREIGN KEY ("business_id", "merged_into_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "person" ADD CONSTRAINT "person_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "person" ADD CONSTRAINT "person_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "person_private" ADD CONSTRAINT "person_private_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "person_private" ADD CONSTRAINT "person_private_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "membership" ADD CONSTRAINT "membership_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "membership" ADD CONSTRAINT "membership_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "membership" ADD CONSTRAINT "membership_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "client" ADD CONSTRAINT "client_business_id_merged_into_id_fkey" FOREIGN KEY ("business_id", "merged_into_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "client" ADD CONSTRAINT "client_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "client" ADD CONSTRAINT "client_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "client_private" ADD CONSTRAINT "client_private_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "client_private" ADD CONSTRAINT "client_private_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_business_id_payer_client_id_fkey" FOREIGN KEY ("business_id", "payer_client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_business_id_merged_into_id_fkey" FOREIGN KEY ("business_id", "merged_into_id") REFERENCES "site"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "site_private" ADD CONSTRAINT "site_private_business_id_site_id_fkey" FOREIGN KEY ("business_id", "site_id") REFERENCES "site"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "site_private" ADD CONSTRAINT "site_private_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "site_contact" ADD CONSTRAINT "site_contact_business_id_site_id_fkey" FOREIGN KEY ("business_id", "site_id") REFERENCES "site"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "site_contact" ADD CONSTRAINT "site_contact_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank" ADD CONSTRAINT "tank_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank" ADD CONSTRAINT "tank_business_id_site_id_fkey" FOREIGN KEY ("business_id", "site_id") REFERENCES "site"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank" ADD CONSTRAINT "tank_business_id_merged_into_id_fkey" FOREIGN KEY ("business_id", "merged_into_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank" ADD CONSTRAINT "tank_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank" ADD CONSTRAINT "tank_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank_private" ADD CONSTRAINT "tank_private_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank_private" ADD CONSTRAINT "tank_private_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank_client" ADD CONSTRAINT "tank_client_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank_client" ADD CONSTRAINT "tank_client_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank_client" ADD CONSTRAINT "tank_client_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "tank_client" ADD CONSTRAINT "tank_client_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "slot" ADD CONSTRAINT "slot_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "slot" ADD CONSTRAINT "slot_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "slot" ADD CONSTRAINT "slot_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "equipment" ADD CONSTRAINT "equipment_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "equipment" ADD CONSTRAINT "equipment_business_id_slot_id_fkey" FOREIGN KEY ("business_id", "slot_id") REFERENCES "slot"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "equipment" ADD CONSTRAINT "equipment_business_id_replaces_id_fkey" FOREIGN KEY ("business_id", "replaces_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "equipment" ADD CONSTRAINT "equipment_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "equipment" ADD CONSTRAINT "equipment_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "agreement" ADD CONSTRAINT "agreement_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "agreement" ADD CONSTRAINT "agreement_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "agreement" ADD CONSTRAINT "agreement_business_id_preferred_person_id_fkey" FOREIGN KEY ("business_id", "preferred_person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "agreement" ADD CONSTRAINT "agreement_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "agreement" ADD CONSTRAINT "agreement_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_business_id_site_id_fkey" FOREIGN KEY ("business_id", "site_id") REFERENCES "site"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_business_id_technician_id_fkey" FOREIGN KEY ("business_id", "technician_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_tank_client_fkey" FOREIGN KEY ("business_id", "client_id", "tank_id") REFERENCES "tank_client"("business_id", "client_id", "tank_id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_private" ADD CONSTRAINT "visit_private_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_private" ADD CONSTRAINT "visit_private_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_event" ADD CONSTRAINT "visit_event_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_event" ADD CONSTRAINT "visit_event_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_event" ADD CONSTRAINT "visit_event_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_event" ADD CONSTRAINT "visit_event_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "visit_event"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_event" ADD CONSTRAINT "visit_event_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_event" ADD CONSTRAINT "visit_event_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_business_id_slot_id_fkey" FOREIGN KEY ("business_id", "slot_id") REFERENCES "slot"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "finding"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_tank_client_fkey" FOREIGN KEY ("business_id", "client_id", "tank_id") REFERENCES "tank_client"("business_id", "client_id", "tank_id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "finding" ADD CONSTRAINT "finding_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "renewal" ADD CONSTRAINT "renewal_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "renewal" ADD CONSTRAINT "renewal_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "renewal" ADD CONSTRAINT "renewal_business_id_slot_id_fkey" FOREIGN KEY ("business_id", "slot_id") REFERENCES "slot"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "renewal" ADD CONSTRAINT "renewal_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "renewal" ADD CONSTRAINT "renewal_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "renewal"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "renewal" ADD CONSTRAINT "renewal_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "renewal" ADD CONSTRAINT "renewal_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "reading"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_tank_client_fkey" FOREIGN KEY ("business_id", "client_id", "tank_id") REFERENCES "tank_client"("business_id", "client_id", "tank_id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "price_item" ADD CONSTRAINT "price_item_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_used" ADD CONSTRAINT "part_used_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_used" ADD CONSTRAINT "part_used_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_used" ADD CONSTRAINT "part_used_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_used" ADD CONSTRAINT "part_used_business_id_price_item_id_fkey" FOREIGN KEY ("business_id", "price_item_id") REFERENCES "price_item"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_used" ADD CONSTRAINT "part_used_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "part_used"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_used" ADD CONSTRAINT "part_used_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "part_used" ADD CONSTRAINT "part_used_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "photo" ADD CONSTRAINT "photo_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "photo" ADD CONSTRAINT "photo_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "photo" ADD CONSTRAINT "photo_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "photo" ADD CONSTRAINT "photo_tank_client_fkey" FOREIGN KEY ("business_id", "client_id", "tank_id") REFERENCES "tank_client"("business_id", "client_id", "tank_id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "photo" ADD CONSTRAINT "photo_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "follow_up" ADD CONSTRAINT "follow_up_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "follow_up" ADD CONSTRAINT "follow_up_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "follow_up" ADD CONSTRAINT "follow_up_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "follow_up" ADD CONSTRAINT "follow_up_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "follow_up" ADD CONSTRAINT "follow_up_business_id_done_by_id_fkey" FOREIGN KEY ("business_id", "done_by_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "follow_up" ADD CONSTRAINT "follow_up_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_request" ADD CONSTRAINT "visit_request_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_request" ADD CONSTRAINT "visit_request_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_request" ADD CONSTRAINT "visit_request_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_request" ADD CONSTRAINT "visit_request_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_request" ADD CONSTRAINT "visit_request_tank_client_fkey" FOREIGN KEY ("business_id", "client_id", "tank_id") REFERENCES "tank_client"("business_id", "client_id", "tank_id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_request" ADD CONSTRAINT "visit_request_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice" ADD CONSTRAINT "invoice_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice" ADD CONSTRAINT "invoice_business_id_corrects_invoice_id_fkey" FOREIGN KEY ("business_id", "corrects_invoice_id") REFERENCES "invoice"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice" ADD CONSTRAINT "invoice_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice_line" ADD CONSTRAINT "invoice_line_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice_line" ADD CONSTRAINT "invoice_line_business_id_invoice_id_fkey" FOREIGN KEY ("business_id", "invoice_id") REFERENCES "invoice"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice_line" ADD CONSTRAINT "invoice_line_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice_line" ADD CONSTRAINT "invoice_line_business_id_visit_id_fkey" FOREIGN KEY ("business_id", "visit_id") REFERENCES "visit"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice_line" ADD CONSTRAINT "invoice_line_business_id_part_used_id_fkey" FOREIGN KEY ("business_id", "part_used_id") REFERENCES "part_used"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice_line" ADD CONSTRAINT "invoice_line_business_id_agreement_id_fkey" FOREIGN KEY ("business_id", "agreement_id") REFERENCES "agreement"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice_line" ADD CONSTRAINT "invoice_line_business_id_credits_line_id_fkey" FOREIGN KEY ("business_id", "credits_line_id") REFERENCES "invoice_line"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "invoice_line" ADD CONSTRAINT "invoice_line_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "payment" ADD CONSTRAINT "payment_business_id_client_id_fkey" FOREIGN KEY ("business_id", "client_id") REFERENCES "client"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "payment" ADD CONSTRAINT "payment_business_id_invoice_id_fkey" FOREIGN KEY ("business_id", "invoice_id") REFERENCES "invoice"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "payment" ADD CONSTRAINT "payment_business_id_corrects_id_fkey" FOREIGN KEY ("business_id", "corrects_id") REFERENCES "payment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "payment" ADD CONSTRAINT "payment_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "number_series" ADD CONSTRAINT "number_series_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "command" ADD CONSTRAINT "command_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "import_batch" ADD CONSTRAINT "import_batch_business_id_person_id_fkey" FOREIGN KEY ("business_id", "person_id") REFERENCES "person"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "import_batch" ADD CONSTRAINT "import_batch_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "import_row" ADD CONSTRAINT "import_row_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "import_row" ADD CONSTRAINT "import_row_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "audit" ADD CONSTRAINT "audit_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "catalogue_overlay" ADD CONSTRAINT "catalogue_overlay_business_id_import_batch_id_fkey" FOREIGN KEY ("business_id", "import_batch_id") REFERENCES "import_batch"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "catalogue_overlay" ADD CONSTRAINT "catalogue_overlay_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "cost_setting" ADD CONSTRAINT "cost_setting_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "life_model" ADD CONSTRAINT "life_model_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lane" ADD CONSTRAINT "lane_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lane" ADD CONSTRAINT "lane_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lane" ADD CONSTRAINT "lane_business_id_slot_id_fkey" FOREIGN KEY ("business_id", "slot_id") REFERENCES "slot"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "lane" ADD CONSTRAINT "lane_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "due_item" ADD CONSTRAINT "due_item_business_id_equipment_id_fkey" FOREIGN KEY ("business_id", "equipment_id") REFERENCES "equipment"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "due_item" ADD CONSTRAINT "due_item_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "due_item" ADD CONSTRAINT "due_item_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "repeat_fault" ADD CONSTRAINT "repeat_fault_business_id_tank_id_fkey" FOREIGN KEY ("business_id", "tank_id") REFERENCES "tank"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "repeat_fault" ADD CONSTRAINT "repeat_fault_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;


-- Roles are shared by the whole server, so another database may have made them already.
DO $$
DECLARE role_name text;
BEGIN
  FOREACH role_name IN ARRAY ARRAY['tankround_office', 'tankround_client', 'tankround_identity', 'tankround_jobs'] LOOP
    BEGIN
      EXECUTE format('CREATE ROLE %I NOLOGIN', role_name);
    EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL;
    END;
  END LOOP;
END $$;

REVOKE ALL ON SCHEMA public FROM PUBLIC;
GRANT USAGE ON SCHEMA public TO tankround_office, tankround_client, tankround_identity;
GRANT USAGE ON SCHEMA identity TO tankround_identity;

-- Who asks: set by every transaction; unset means no rows.
CREATE FUNCTION current_business() RETURNS uuid LANGUAGE sql STABLE PARALLEL SAFE
  AS $$ SELECT nullif(current_setting('app.business_id', true), '')::uuid $$;
CREATE FUNCTION current_client() RETURNS uuid LANGUAGE sql STABLE PARALLEL SAFE
  AS $$ SELECT nullif(current_setting('app.client_id', true), '')::uuid $$;
CREATE FUNCTION current_person() RETURNS uuid LANGUAGE sql STABLE PARALLEL SAFE
  AS $$ SELECT nullif(current_setting('app.user_id', true), '')::uuid $$;
-- Batches taken back: their rows are hidden from every query by the policies below. Taking a batch back (or forward
-- again) is the one act that may look at them, and says so with app.see_withdrawn.
CREATE FUNCTION withdrawn_batches() RETURNS uuid[] LANGUAGE sql STABLE PARALLEL SAFE
  AS $$ SELECT CASE WHEN current_setting('app.see_withdrawn', true) = 'on' THEN '{}'::uuid[]
        ELSE ARRAY(SELECT id FROM import_batch WHERE business_id = current_business() AND withdrawn_at IS NOT NULL) END $$;

CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '% is append-only: write a correcting row instead', TG_TABLE_NAME USING ERRCODE = 'restrict_violation';
END $$;


ALTER TABLE "business" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "business" FORCE ROW LEVEL SECURITY;
CREATE POLICY business_office ON "business" FOR ALL TO tankround_office USING (id = (SELECT current_business())) WITH CHECK (id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "business" TO tankround_office;
CREATE POLICY business_client ON "business" FOR SELECT TO tankround_client USING (id = (SELECT current_business()));
GRANT SELECT ON "business" TO tankround_client;

ALTER TABLE "person" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "person" FORCE ROW LEVEL SECURITY;
CREATE POLICY person_office ON "person" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "person" TO tankround_office;
CREATE POLICY person_client ON "person" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[])) AND (id = (SELECT current_person()) OR EXISTS (SELECT 1 FROM visit came WHERE came.business_id = person.business_id AND came.technician_id = person.id)));
GRANT SELECT ON "person" TO tankround_client;

ALTER TABLE "person_private" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "person_private" FORCE ROW LEVEL SECURITY;
CREATE POLICY person_private_office ON "person_private" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "person_private" TO tankround_office;

ALTER TABLE "membership" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "membership" FORCE ROW LEVEL SECURITY;
CREATE POLICY membership_office ON "membership" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "membership" TO tankround_office;

ALTER TABLE "client" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "client" FORCE ROW LEVEL SECURITY;
CREATE POLICY client_office ON "client" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "client" TO tankround_office;
CREATE POLICY client_client ON "client" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[])) AND (id = (SELECT current_client())));
GRANT SELECT ON "client" TO tankround_client;

ALTER TABLE "client_private" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "client_private" FORCE ROW LEVEL SECURITY;
CREATE POLICY client_private_office ON "client_private" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "client_private" TO tankround_office;

ALTER TABLE "site" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "site" FORCE ROW LEVEL SECURITY;
CREATE POLICY site_office ON "site" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "site" TO tankround_office;
CREATE POLICY site_client ON "site" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[])) AND (client_id = (SELECT current_client()) OR payer_client_id = (SELECT current_client()) OR EXISTS (SELECT 1 FROM tank here WHERE here.business_id = site.business_id AND here.site_id = site.id)));
GRANT SELECT ON "site" TO tankround_client;

ALTER TABLE "site_private" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "site_private" FORCE ROW LEVEL SECURITY;
CREATE POLICY site_private_office ON "site_private" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "site_private" TO tankround_office;

ALTER TABLE "site_contact" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "site_contact" FORCE ROW LEVEL SECURITY;
CREATE POLICY site_contact_office ON "site_contact" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON "site_contact" TO tankround_office;

ALTER TABLE "tank" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "tank" FORCE ROW LEVEL SECURITY;
CREATE POLICY tank_office ON "tank" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "tank" TO tankround_office;
CREATE POLICY tank_client ON "tank" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[])) AND (EXISTS (SELECT 1 FROM tank_client held WHERE held.business_id = tank.business_id AND held.tank_id = tank.id)));
GRANT SELECT ON "tank" TO tankround_client;

ALTER TABLE "tank_private" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "tank_private" FORCE ROW LEVEL SECURITY;
CREATE POLICY tank_private_office ON "tank_private" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "tank_private" TO tankround_office;

ALTER TABLE "tank_client" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "tank_client" FORCE ROW LEVEL SECURITY;
CREATE POLICY tank_client_office ON "tank_client" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "tank_client" TO tankround_office;
CREATE POLICY tank_client_client ON "tank_client" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[])) AND (client_id = (SELECT current_client())));
GRANT SELECT ON "tank_client" TO tankround_client;

ALTER TABLE "slot" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "slot" FORCE ROW LEVEL SECURITY;
CREATE POLICY slot_office ON "slot" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "slot" TO tankround_office;

ALTER TABLE "equipment" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "equipment" FORCE ROW LEVEL SECURITY;
CREATE POLICY equipment_office ON "equipment" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "equipment" TO tankround_office;

ALTER TABLE "agreement" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "agreement" FORCE ROW LEVEL SECURITY;
CREATE POLICY agreement_office ON "agreement" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "agreement" TO tankround_office;

ALTER TABLE "visit" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "visit" FORCE ROW LEVEL SECURITY;
CREATE POLICY visit_office ON "visit" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "visit" TO tankround_office;
CREATE POLICY visit_client ON "visit" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[])) AND (client_id = (SELECT current_client())));
GRANT SELECT ON "visit" TO tankround_client;

ALTER TABLE "visit_private" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "visit_private" FORCE ROW LEVEL SECURITY;
CREATE POLICY visit_private_office ON "visit_private" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "visit_private" TO tankround_office;

ALTER TABLE "visit_event" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "visit_event" FORCE ROW LEVEL SECURITY;
CREATE POLICY visit_event_office ON "visit_event" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON "visit_event" TO tankround_office;
CREATE TRIGGER visit_event_append_only BEFORE UPDATE OR DELETE ON "visit_event" FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE "finding" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "finding" FORCE ROW LEVEL SECURITY;
CREATE POLICY finding_office ON "finding" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON "finding" TO tankround_office;
CREATE TRIGGER finding_append_only BEFORE UPDATE OR DELETE ON "finding" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE POLICY finding_client ON "finding" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[])) AND (client_id = (SELECT current_client())));
GRANT SELECT ON "finding" TO tankround_client;

ALTER TABLE "renewal" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "renewal" FORCE ROW LEVEL SECURITY;
CREATE POLICY renewal_office ON "renewal" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON "renewal" TO tankround_office;
CREATE TRIGGER renewal_append_only BEFORE UPDATE OR DELETE ON "renewal" FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE "reading" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "reading" FORCE ROW LEVEL SECURITY;
CREATE POLICY reading_office ON "reading" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON "reading" TO tankround_office;
CREATE TRIGGER reading_append_only BEFORE UPDATE OR DELETE ON "reading" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE POLICY reading_client ON "reading" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[])) AND (client_id = (SELECT current_client())));
GRANT SELECT ON "reading" TO tankround_client;

ALTER TABLE "price_item" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "price_item" FORCE ROW LEVEL SECURITY;
CREATE POLICY price_item_office ON "price_item" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "price_item" TO tankround_office;

ALTER TABLE "part_used" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "part_used" FORCE ROW LEVEL SECURITY;
CREATE POLICY part_used_office ON "part_used" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON "part_used" TO tankround_office;
CREATE TRIGGER part_used_append_only BEFORE UPDATE OR DELETE ON "part_used" FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE "photo" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "photo" FORCE ROW LEVEL SECURITY;
CREATE POLICY photo_office ON "photo" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "photo" TO tankround_office;
CREATE POLICY photo_client ON "photo" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (client_id = (SELECT current_client()) AND for_client AND hidden_at IS NULL));
GRANT SELECT ON "photo" TO tankround_client;

ALTER TABLE "follow_up" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "follow_up" FORCE ROW LEVEL SECURITY;
CREATE POLICY follow_up_office ON "follow_up" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "follow_up" TO tankround_office;

ALTER TABLE "visit_request" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "visit_request" FORCE ROW LEVEL SECURITY;
CREATE POLICY visit_request_office ON "visit_request" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "visit_request" TO tankround_office;
CREATE POLICY visit_request_client ON "visit_request" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND client_id = (SELECT current_client()));
CREATE POLICY visit_request_client_ask ON "visit_request" FOR INSERT TO tankround_client WITH CHECK (business_id = (SELECT current_business()) AND client_id = (SELECT current_client()) AND state = 'open' AND visit_id IS NULL);
GRANT SELECT, INSERT ON "visit_request" TO tankround_client;

ALTER TABLE "invoice" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "invoice" FORCE ROW LEVEL SECURITY;
CREATE POLICY invoice_office ON "invoice" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON "invoice" TO tankround_office;
CREATE POLICY invoice_client ON "invoice" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (client_id = (SELECT current_client()) AND state = 'issued'));
GRANT SELECT ON "invoice" TO tankround_client;

ALTER TABLE "invoice_line" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "invoice_line" FORCE ROW LEVEL SECURITY;
CREATE POLICY invoice_line_office ON "invoice_line" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON "invoice_line" TO tankround_office;
CREATE POLICY invoice_line_client ON "invoice_line" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (client_id = (SELECT current_client()) AND EXISTS (SELECT 1 FROM invoice whole WHERE whole.business_id = invoice_line.business_id AND whole.id = invoice_line.invoice_id)));
GRANT SELECT ON "invoice_line" TO tankround_client;

ALTER TABLE "payment" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "payment" FORCE ROW LEVEL SECURITY;
CREATE POLICY payment_office ON "payment" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON "payment" TO tankround_office;
CREATE TRIGGER payment_append_only BEFORE UPDATE OR DELETE ON "payment" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE POLICY payment_client ON "payment" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()) AND (client_id = (SELECT current_client())));
GRANT SELECT ON "payment" TO tankround_client;

ALTER TABLE "number_series" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "number_series" FORCE ROW LEVEL SECURITY;
CREATE POLICY number_series_office ON "number_series" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "number_series" TO tankround_office;

ALTER TABLE "command" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "command" FORCE ROW LEVEL SECURITY;
CREATE POLICY command_office ON "command" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "command" TO tankround_office;
CREATE POLICY command_client ON "command" FOR ALL TO tankround_client USING (business_id = (SELECT current_business()) AND person_id = (SELECT current_person())) WITH CHECK (business_id = (SELECT current_business()) AND person_id = (SELECT current_person()));
GRANT SELECT, INSERT, UPDATE ON "command" TO tankround_client;

ALTER TABLE "import_batch" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "import_batch" FORCE ROW LEVEL SECURITY;
CREATE POLICY import_batch_office ON "import_batch" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "import_batch" TO tankround_office;
GRANT SELECT (business_id, id, withdrawn_at) ON "import_batch" TO tankround_client;
CREATE POLICY import_batch_client ON "import_batch" FOR SELECT TO tankround_client USING (business_id = (SELECT current_business()));

ALTER TABLE "import_row" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "import_row" FORCE ROW LEVEL SECURITY;
CREATE POLICY import_row_office ON "import_row" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON "import_row" TO tankround_office;
CREATE TRIGGER import_row_append_only BEFORE UPDATE OR DELETE ON "import_row" FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE "audit" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "audit" FORCE ROW LEVEL SECURITY;
CREATE POLICY audit_office ON "audit" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON "audit" TO tankround_office;
CREATE TRIGGER audit_append_only BEFORE UPDATE OR DELETE ON "audit" FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE "catalogue_overlay" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "catalogue_overlay" FORCE ROW LEVEL SECURITY;
CREATE POLICY catalogue_overlay_office ON "catalogue_overlay" FOR ALL TO tankround_office USING (business_id = (SELECT current_business()) AND (import_batch_id IS NULL OR import_batch_id <> ALL ((SELECT withdrawn_batches())::uuid[]))) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "catalogue_overlay" TO tankround_office;

ALTER TABLE "cost_setting" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "cost_setting" FORCE ROW LEVEL SECURITY;
CREATE POLICY cost_setting_office ON "cost_setting" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE ON "cost_setting" TO tankround_office;

ALTER TABLE "life_model" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "life_model" FORCE ROW LEVEL SECURITY;
CREATE POLICY life_model_office ON "life_model" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT ON "life_model" TO tankround_office;
CREATE TRIGGER life_model_append_only BEFORE UPDATE OR DELETE ON "life_model" FOR EACH ROW EXECUTE FUNCTION refuse_change();

ALTER TABLE "lane" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "lane" FORCE ROW LEVEL SECURITY;
CREATE POLICY lane_office ON "lane" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON "lane" TO tankround_office;

ALTER TABLE "due_item" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "due_item" FORCE ROW LEVEL SECURITY;
CREATE POLICY due_item_office ON "due_item" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON "due_item" TO tankround_office;

ALTER TABLE "repeat_fault" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "repeat_fault" FORCE ROW LEVEL SECURITY;
CREATE POLICY repeat_fault_office ON "repeat_fault" FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON "repeat_fault" TO tankround_office;

-- Signing in happens before the business is known: the identity role may look up memberships, and the names beside them.
CREATE POLICY membership_identity ON membership FOR SELECT TO tankround_identity USING (true);
CREATE POLICY membership_identity_accept ON membership FOR UPDATE TO tankround_identity USING (true) WITH CHECK (true);
CREATE POLICY business_identity ON business FOR SELECT TO tankround_identity USING (true);
CREATE POLICY person_identity ON person FOR SELECT TO tankround_identity USING (true);
GRANT SELECT ON membership TO tankround_identity;
GRANT UPDATE (login_id) ON membership TO tankround_identity;
GRANT SELECT (id, name, is_demo) ON business TO tankround_identity;
GRANT SELECT (business_id, id, name) ON person TO tankround_identity;
GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA identity TO tankround_identity;
-- Today tells the owner how old the last backup is.
GRANT USAGE ON SCHEMA identity TO tankround_office;
GRANT SELECT ON identity.backup_run TO tankround_office;

ALTER TABLE membership ADD CONSTRAINT membership_login_fkey FOREIGN KEY (login_id) REFERENCES identity.login (id);

-- A technician is in one place at a time unless somebody said yes to an overlap.
CREATE EXTENSION IF NOT EXISTS btree_gist;
ALTER TABLE visit ADD CONSTRAINT visit_no_overlap EXCLUDE USING gist
  (business_id WITH =, technician_id WITH =, tstzrange(planned_start, planned_end) WITH &&)
  WHERE (state = 'booked' AND NOT overlap_accepted AND technician_id IS NOT NULL AND planned_start IS NOT NULL);

-- An issued invoice is frozen: corrections are credit notes.
CREATE FUNCTION keep_issued_invoice() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF OLD.state = 'issued' THEN
    RAISE EXCEPTION 'invoice % is issued and cannot change: write a credit note', OLD.number USING ERRCODE = 'restrict_violation';
  END IF;
  RETURN CASE WHEN TG_OP = 'DELETE' THEN OLD ELSE NEW END;
END $$;
CREATE TRIGGER invoice_keep_issued BEFORE UPDATE OR DELETE ON invoice FOR EACH ROW EXECUTE FUNCTION keep_issued_invoice();
CREATE FUNCTION keep_issued_line() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE touched invoice_line;
BEGIN
  touched := CASE WHEN TG_OP = 'DELETE' THEN OLD ELSE NEW END;
  IF EXISTS (SELECT 1 FROM invoice whole WHERE whole.business_id = touched.business_id AND whole.id = touched.invoice_id
             AND whole.state = 'issued') THEN
    RAISE EXCEPTION 'this line belongs to an issued invoice and cannot change' USING ERRCODE = 'restrict_violation';
  END IF;
  RETURN touched;
END $$;
CREATE TRIGGER invoice_line_keep_issued BEFORE INSERT OR UPDATE OR DELETE ON invoice_line
  FOR EACH ROW EXECUTE FUNCTION keep_issued_line();

ALTER TABLE visit ADD CONSTRAINT visit_kind_known CHECK (kind IN ('routine', 'call_out', 'installation', 'return_check'));
ALTER TABLE visit ADD CONSTRAINT visit_state_known CHECK (state IN ('booked', 'under_way', 'done', 'cancelled'));
ALTER TABLE visit ADD CONSTRAINT visit_outcome_known CHECK (outcome IN ('done', 'cut_short', 'no_access'));
ALTER TABLE finding ADD CONSTRAINT finding_as_found_known CHECK (as_found IN ('ok', 'needs_it', 'failed', 'not_looked'));
ALTER TABLE finding ADD CONSTRAINT finding_depth_known CHECK (depth IN ('running', 'opened', 'measured'));
ALTER TABLE finding ADD CONSTRAINT finding_learned_by_known CHECK (learned_by IN ('look', 'report'));
ALTER TABLE finding ADD CONSTRAINT finding_cure_confidence_known CHECK (cure_confidence IN ('sure', 'likely', 'not_sure'));
ALTER TABLE renewal ADD CONSTRAINT renewal_reason_known CHECK (reason IN ('schedule', 'while_out', 'condition', 'found'));
ALTER TABLE invoice ADD CONSTRAINT invoice_document_type_known CHECK (document_type IN ('invoice', 'credit_note'));
ALTER TABLE invoice ADD CONSTRAINT invoice_state_known CHECK (state IN ('draft', 'issued'));
ALTER TABLE command ADD CONSTRAINT command_status_known CHECK (status IN ('applied', 'waiting', 'refused'));
ALTER TABLE visit_request ADD CONSTRAINT visit_request_state_known CHECK (state IN ('open', 'booked', 'answered'));
ALTER TABLE price_item ADD CONSTRAINT price_item_kind_known CHECK (kind IN ('labour', 'part', 'fee', 'travel', 'animal'));
ALTER TABLE business ADD CONSTRAINT business_volume_unit_known CHECK (volume_unit IN ('L', 'us_gal', 'imp_gal'));
ALTER TABLE business ADD CONSTRAINT business_gallon_known CHECK (gallon IN ('us', 'imperial'));
ALTER TABLE visit ADD CONSTRAINT visit_minutes_possible CHECK (minutes BETWEEN 1 AND 1440), ADD CONSTRAINT visit_planned_whole CHECK ((planned_start IS NULL) = (planned_end IS NULL) AND planned_start < planned_end);
ALTER TABLE tank ADD CONSTRAINT tank_volume_positive CHECK (volume_l > 0);
ALTER TABLE invoice ADD CONSTRAINT invoice_number_when_issued CHECK ((state = 'issued') = (number IS NOT NULL));
ALTER TABLE membership ADD CONSTRAINT membership_roles_known CHECK (roles <@ ARRAY['owner', 'technician', 'client', 'accountant'] AND cardinality(roles) > 0), ADD CONSTRAINT membership_client_named CHECK (('client' = ANY (roles)) = (client_id IS NOT NULL));
