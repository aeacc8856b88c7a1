-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- Litres in the books: a domain, because numeric(15,6) rounds in silence and lets NaN through.
CREATE EXTENSION IF NOT EXISTS btree_gist;
CREATE DOMAIN "litres" AS numeric CHECK (VALUE <> 'NaN' AND scale(VALUE) <= 6 AND abs(VALUE) < 1000000000);
CREATE DOMAIN "component" AS numeric CHECK (VALUE <> 'NaN' AND scale(VALUE) <= 12 AND abs(VALUE) < 1000000000);

-- CreateTable
CREATE TABLE "producer" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "simulated" BOOLEAN NOT NULL DEFAULT false,
    "settings" JSONB NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(6) NOT NULL,

    CONSTRAINT "producer_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "producer_head" (
    "producer_id" UUID NOT NULL,
    "operation_sequence" BIGINT NOT NULL,
    "trail_sequence" BIGINT NOT NULL,
    "trail_hash" BYTEA NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,

    CONSTRAINT "producer_head_pkey" PRIMARY KEY ("producer_id")
);

-- CreateTable
CREATE TABLE "api_key" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "role" TEXT NOT NULL,
    "scopes" TEXT[],
    "secret_hash" BYTEA NOT NULL,
    "hint" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "expires_at" TIMESTAMPTZ(6),
    "revoked_at" TIMESTAMPTZ(6),

    CONSTRAINT "api_key_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "idempotency" (
    "producer_id" UUID NOT NULL,
    "principal_id" UUID NOT NULL,
    "route" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "body_hash" BYTEA NOT NULL,
    "status" INTEGER NOT NULL,
    "response" TEXT NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,

    CONSTRAINT "idempotency_pkey" PRIMARY KEY ("producer_id","principal_id","route","key")
);

-- CreateTable
CREATE TABLE "trail_entry" (
    "producer_id" UUID NOT NULL,
    "sequence" BIGINT NOT NULL,
    "version" INTEGER NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "previous_hash" BYTEA NOT NULL,
    "body" TEXT NOT NULL,
    "body_hash" BYTEA NOT NULL,
    "entry_hash" BYTEA NOT NULL,

    CONSTRAINT "trail_entry_pkey" PRIMARY KEY ("producer_id","sequence")
);

-- CreateTable
CREATE TABLE "personal_text" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "salt" BYTEA NOT NULL,
    "hash" BYTEA NOT NULL,
    "text" TEXT,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "forgotten_at" TIMESTAMPTZ(6),

    CONSTRAINT "personal_text_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "person" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name_text_id" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "retired_at" TIMESTAMPTZ(6),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "person_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "premises" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "time_zone" TEXT NOT NULL,
    "approvals" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "retired_at" TIMESTAMPTZ(6),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "premises_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "vessel" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "premises_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "capacity_l" "litres",
    "details" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "retired_at" TIMESTAMPTZ(6),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "vessel_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "instrument" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "scale" TEXT,
    "reference_temperature_c" DECIMAL(6,2),
    "resolution" DECIMAL(12,6),
    "serial_number" TEXT,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "retired_at" TIMESTAMPTZ(6),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "instrument_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "calibration" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "instrument_id" UUID NOT NULL,
    "performed_on" DATE NOT NULL,
    "valid_until" DATE NOT NULL,
    "certificate" TEXT,
    "regions" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,

    CONSTRAINT "calibration_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "material" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "details" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "retired_at" TIMESTAMPTZ(6),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "material_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "material_lot" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "material_id" UUID NOT NULL,
    "premises_id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "supplier" TEXT,
    "supplier_lot" TEXT,
    "received_at" TIMESTAMPTZ(6) NOT NULL,
    "quantity" DECIMAL(18,6) NOT NULL,
    "unit" TEXT NOT NULL,
    "strength_percent" DECIMAL(9,6),
    "duty_status" TEXT NOT NULL,
    "owner" TEXT,
    "operation_id" UUID,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "material_lot_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "recipe" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "category" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "retired_at" TIMESTAMPTZ(6),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "recipe_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "recipe_version" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "recipe_id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "plan" JSONB NOT NULL,
    "expected" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,

    CONSTRAINT "recipe_version_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "lot" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "premises_id" UUID NOT NULL,
    "recipe_version_id" UUID,
    "category" TEXT NOT NULL,
    "owner" TEXT,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "retired_at" TIMESTAMPTZ(6),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "lot_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "duty_rule_set" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "valid_from" DATE NOT NULL,
    "document" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,

    CONSTRAINT "duty_rule_set_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "account" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "key" TEXT NOT NULL,
    "side" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "premises_id" UUID NOT NULL,
    "approval" TEXT,
    "owner" TEXT NOT NULL,
    "duty_status" TEXT,
    "stage" TEXT,
    "category" TEXT,
    "composition_id" UUID,
    "vessel_id" UUID,
    "material_lot_id" UUID,
    "packaged_lot_id" UUID,
    "transit_id" UUID,

    CONSTRAINT "account_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "balance" (
    "producer_id" UUID NOT NULL,
    "account_id" UUID NOT NULL,
    "litres" "litres" NOT NULL,
    "lpa_fermented" "litres" NOT NULL,
    "lpa_added" "litres" NOT NULL,
    "version" BIGINT NOT NULL,
    "last_occurred_at" TIMESTAMPTZ(6) NOT NULL,
    "last_fixed_at" TIMESTAMPTZ(6),

    CONSTRAINT "balance_pkey" PRIMARY KEY ("producer_id","account_id")
);

-- CreateTable
CREATE TABLE "operation" (
    "producer_id" UUID NOT NULL,
    "sequence" BIGINT NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "timing" TEXT NOT NULL,
    "premises_id" UUID NOT NULL,
    "occurred_at" TIMESTAMPTZ(6) NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "lot_id" UUID,
    "composition_id" UUID,
    "person_id" UUID,
    "key_id" UUID,
    "reverses" UUID,
    "corrects" UUID,
    "explains" UUID,
    "earlier_period_id" UUID,
    "reason_code" TEXT,
    "note_text_id" UUID,
    "document" JSONB NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "operation_pkey" PRIMARY KEY ("producer_id","sequence")
);

-- CreateTable
CREATE TABLE "posting" (
    "producer_id" UUID NOT NULL,
    "operation_sequence" BIGINT NOT NULL,
    "line" INTEGER NOT NULL,
    "operation_id" UUID NOT NULL,
    "account_id" UUID NOT NULL,
    "occurred_at" TIMESTAMPTZ(6) NOT NULL,
    "litres" "litres" NOT NULL,
    "lpa_fermented" "litres" NOT NULL,
    "lpa_added" "litres" NOT NULL,
    "category" TEXT,
    "lot_id" UUID,
    "composition_id" UUID,
    "packaged_lot_id" UUID,
    "material_lot_id" UUID,

    CONSTRAINT "posting_pkey" PRIMARY KEY ("producer_id","operation_sequence","line")
);

-- CreateTable
CREATE TABLE "posting_component" (
    "producer_id" UUID NOT NULL,
    "operation_sequence" BIGINT NOT NULL,
    "line" INTEGER NOT NULL,
    "origin" TEXT NOT NULL,
    "c_litres" "component" NOT NULL,
    "c_lpa" "component" NOT NULL,

    CONSTRAINT "posting_component_pkey" PRIMARY KEY ("producer_id","operation_sequence","line","origin")
);

-- CreateTable
CREATE TABLE "composition" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "premises_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "operation_id" UUID NOT NULL,
    "opened_at" TIMESTAMPTZ(6) NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "composition_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "reading" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "composition_id" UUID,
    "vessel_id" UUID,
    "kind" TEXT NOT NULL,
    "value" DECIMAL(18,6),
    "unit" TEXT,
    "temperature_c" DECIMAL(9,4),
    "degassed" BOOLEAN,
    "instrument_id" UUID,
    "person_id" UUID,
    "source" TEXT NOT NULL,
    "text_id" UUID,
    "flags" TEXT[],
    "taken_at" TIMESTAMPTZ(6) NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "reading_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "reading_strike" (
    "producer_id" UUID NOT NULL,
    "reading_id" UUID NOT NULL,
    "reason_code" TEXT NOT NULL,
    "text_id" UUID,
    "replaced_by" UUID,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "reading_strike_pkey" PRIMARY KEY ("producer_id","reading_id")
);

-- CreateTable
CREATE TABLE "finding" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "composition_id" UUID NOT NULL,
    "standing" TEXT NOT NULL,
    "restates" UUID,
    "method_id" TEXT NOT NULL,
    "method_version" TEXT NOT NULL,
    "strength_percent" DECIMAL(18,12) NOT NULL,
    "standard_uncertainty" DECIMAL(18,12) NOT NULL,
    "coverage_factor" DECIMAL(18,12) NOT NULL,
    "expanded_uncertainty" DECIMAL(18,12) NOT NULL,
    "degrees_of_freedom" DECIMAL(18,6),
    "real_extract_plato" DECIMAL(18,12),
    "density_kg_m3" DECIMAL(18,9),
    "budget" JSONB NOT NULL,
    "inputs" JSONB NOT NULL,
    "warnings" JSONB NOT NULL,
    "sampled_at" TIMESTAMPTZ(6) NOT NULL,
    "operation_id" UUID,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "finding_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "finding_reading" (
    "producer_id" UUID NOT NULL,
    "finding_id" UUID NOT NULL,
    "reading_id" UUID NOT NULL,
    "use" TEXT NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "finding_reading_pkey" PRIMARY KEY ("producer_id","finding_id","reading_id","use")
);

-- CreateTable
CREATE TABLE "packaged_lot" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "composition_id" UUID NOT NULL,
    "premises_id" UUID NOT NULL,
    "container" TEXT NOT NULL,
    "nominal_litres" "litres" NOT NULL,
    "count" INTEGER NOT NULL,
    "lot_mark" TEXT NOT NULL,
    "declared_strength_percent" DECIMAL(6,3) NOT NULL,
    "dispense" TEXT,
    "category" TEXT NOT NULL,
    "packaged_on" DATE NOT NULL,
    "operation_id" UUID NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "packaged_lot_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "movement" (
    "producer_id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "packaged_lot_id" UUID,
    "composition_id" UUID,
    "material_lot_id" UUID,
    "count" INTEGER,
    "litres" "litres" NOT NULL,
    "duty_date" DATE,
    "strength_for_duty_percent" DECIMAL(9,6),
    "counterparty_text_id" UUID,
    "witness_text_id" UUID,
    "evidence" JSONB NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "movement_pkey" PRIMARY KEY ("producer_id","operation_id")
);

-- CreateTable
CREATE TABLE "gauge" (
    "producer_id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "composition_id" UUID NOT NULL,
    "vessel_id" UUID NOT NULL,
    "book_litres" "litres" NOT NULL,
    "found_litres" "litres" NOT NULL,
    "standard_uncertainty" DECIMAL(18,12) NOT NULL,
    "inputs" JSONB NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "gauge_pkey" PRIMARY KEY ("producer_id","operation_id")
);

-- CreateTable
CREATE TABLE "stock_count" (
    "producer_id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "stock_take_id" UUID NOT NULL,
    "packaged_lot_id" UUID,
    "composition_id" UUID,
    "vessel_id" UUID,
    "material_lot_id" UUID,
    "book_litres" "litres" NOT NULL,
    "counted_litres" "litres" NOT NULL,
    "counted" INTEGER,
    "reason_code" TEXT,
    "text_id" UUID,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "stock_count_pkey" PRIMARY KEY ("producer_id","operation_id")
);

-- CreateTable
CREATE TABLE "transit" (
    "producer_id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "packaged_lot_id" UUID,
    "composition_id" UUID,
    "from_premises_id" UUID NOT NULL,
    "to_premises_id" UUID NOT NULL,
    "count" INTEGER,
    "litres" "litres" NOT NULL,
    "document" TEXT NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "transit_pkey" PRIMARY KEY ("producer_id","operation_id")
);

-- CreateTable
CREATE TABLE "container_event" (
    "producer_id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "serial" TEXT NOT NULL,
    "event" TEXT NOT NULL,
    "packaged_lot_id" UUID,
    "litres" "litres",
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "container_event_pkey" PRIMARY KEY ("producer_id","operation_id","serial")
);

-- CreateTable
CREATE TABLE "plan" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "asked" JSONB NOT NULL,
    "computed" JSONB NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "plan_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "period" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "premises_id" UUID NOT NULL,
    "starts_on" DATE NOT NULL,
    "ends_before" DATE NOT NULL,
    "starts_at" TIMESTAMPTZ(6) NOT NULL,
    "ends_at" TIMESTAMPTZ(6) NOT NULL,
    "time_zone" TEXT NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "period_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "report" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "period_id" UUID NOT NULL,
    "bytes" TEXT NOT NULL,
    "hash" BYTEA NOT NULL,
    "head_sequence" BIGINT NOT NULL,
    "head_hash" BYTEA NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "report_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateIndex
CREATE INDEX "calibration_producer_id_instrument_id_performed_on_idx" ON "calibration"("producer_id", "instrument_id", "performed_on");

-- CreateIndex
CREATE INDEX "material_lot_producer_id_material_id_idx" ON "material_lot"("producer_id", "material_id");

-- CreateIndex
CREATE UNIQUE INDEX "recipe_version_producer_id_recipe_id_number_key" ON "recipe_version"("producer_id", "recipe_id", "number");

-- CreateIndex
CREATE UNIQUE INDEX "lot_producer_id_code_key" ON "lot"("producer_id", "code");

-- CreateIndex
CREATE UNIQUE INDEX "duty_rule_set_producer_id_number_key" ON "duty_rule_set"("producer_id", "number");

-- CreateIndex
CREATE INDEX "account_producer_id_composition_id_idx" ON "account"("producer_id", "composition_id");

-- CreateIndex
CREATE INDEX "account_producer_id_vessel_id_idx" ON "account"("producer_id", "vessel_id");

-- CreateIndex
CREATE INDEX "account_producer_id_packaged_lot_id_idx" ON "account"("producer_id", "packaged_lot_id");

-- CreateIndex
CREATE INDEX "account_producer_id_material_lot_id_idx" ON "account"("producer_id", "material_lot_id");

-- CreateIndex
CREATE INDEX "account_producer_id_transit_id_idx" ON "account"("producer_id", "transit_id");

-- CreateIndex
CREATE UNIQUE INDEX "account_producer_id_key_key" ON "account"("producer_id", "key");

-- CreateIndex
CREATE INDEX "operation_producer_id_premises_id_occurred_at_idx" ON "operation"("producer_id", "premises_id", "occurred_at");

-- CreateIndex
CREATE INDEX "operation_producer_id_lot_id_occurred_at_idx" ON "operation"("producer_id", "lot_id", "occurred_at");

-- CreateIndex
CREATE INDEX "operation_producer_id_composition_id_idx" ON "operation"("producer_id", "composition_id");

-- CreateIndex
CREATE INDEX "operation_producer_id_explains_idx" ON "operation"("producer_id", "explains");

-- CreateIndex
CREATE INDEX "operation_producer_id_corrects_idx" ON "operation"("producer_id", "corrects");

-- CreateIndex
CREATE UNIQUE INDEX "operation_producer_id_id_key" ON "operation"("producer_id", "id");

-- CreateIndex
CREATE UNIQUE INDEX "operation_producer_id_reverses_key" ON "operation"("producer_id", "reverses") WHERE "reverses" IS NOT NULL;

-- CreateIndex
CREATE INDEX "posting_producer_id_account_id_occurred_at_idx" ON "posting"("producer_id", "account_id", "occurred_at");

-- CreateIndex
CREATE INDEX "posting_producer_id_operation_id_idx" ON "posting"("producer_id", "operation_id");

-- CreateIndex
CREATE INDEX "composition_producer_id_lot_id_idx" ON "composition"("producer_id", "lot_id");

-- CreateIndex
CREATE INDEX "reading_producer_id_lot_id_taken_at_idx" ON "reading"("producer_id", "lot_id", "taken_at");

-- CreateIndex
CREATE INDEX "finding_producer_id_composition_id_idx" ON "finding"("producer_id", "composition_id");

-- CreateIndex
CREATE INDEX "finding_reading_producer_id_reading_id_idx" ON "finding_reading"("producer_id", "reading_id");

-- CreateIndex
CREATE INDEX "packaged_lot_producer_id_lot_id_idx" ON "packaged_lot"("producer_id", "lot_id");

-- CreateIndex
CREATE INDEX "packaged_lot_producer_id_lot_mark_idx" ON "packaged_lot"("producer_id", "lot_mark");

-- CreateIndex
CREATE INDEX "movement_producer_id_packaged_lot_id_idx" ON "movement"("producer_id", "packaged_lot_id");

-- CreateIndex
CREATE INDEX "gauge_producer_id_composition_id_idx" ON "gauge"("producer_id", "composition_id");

-- CreateIndex
CREATE INDEX "stock_count_producer_id_stock_take_id_idx" ON "stock_count"("producer_id", "stock_take_id");

-- CreateIndex
CREATE INDEX "stock_count_producer_id_packaged_lot_id_idx" ON "stock_count"("producer_id", "packaged_lot_id");

-- CreateIndex
CREATE INDEX "stock_count_producer_id_material_lot_id_idx" ON "stock_count"("producer_id", "material_lot_id");

-- CreateIndex
CREATE INDEX "container_event_producer_id_serial_idx" ON "container_event"("producer_id", "serial");

-- CreateIndex
CREATE INDEX "plan_producer_id_lot_id_idx" ON "plan"("producer_id", "lot_id");

-- CreateIndex
CREATE INDEX "period_producer_id_premises_id_starts_at_idx" ON "period"("producer_id", "premises_id", "starts_at");

-- CreateIndex
CREATE UNIQUE INDEX "report_producer_id_period_id_key" ON "report"("producer_id", "period_id");

-- Keys carry the producer: a single-column key would accept a row that row security hides.
ALTER TABLE "person" ADD CONSTRAINT "person_name_text_id_fkey" FOREIGN KEY ("producer_id", "name_text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "vessel" ADD CONSTRAINT "vessel_premises_id_fkey" FOREIGN KEY ("producer_id", "premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "calibration" ADD CONSTRAINT "calibration_instrument_id_fkey" FOREIGN KEY ("producer_id", "instrument_id") REFERENCES "instrument" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "material_lot" ADD CONSTRAINT "material_lot_material_id_fkey" FOREIGN KEY ("producer_id", "material_id") REFERENCES "material" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "material_lot" ADD CONSTRAINT "material_lot_premises_id_fkey" FOREIGN KEY ("producer_id", "premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "recipe_version" ADD CONSTRAINT "recipe_version_recipe_id_fkey" FOREIGN KEY ("producer_id", "recipe_id") REFERENCES "recipe" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "lot" ADD CONSTRAINT "lot_premises_id_fkey" FOREIGN KEY ("producer_id", "premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "lot" ADD CONSTRAINT "lot_recipe_version_id_fkey" FOREIGN KEY ("producer_id", "recipe_version_id") REFERENCES "recipe_version" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "account" ADD CONSTRAINT "account_premises_id_fkey" FOREIGN KEY ("producer_id", "premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "account" ADD CONSTRAINT "account_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "account" ADD CONSTRAINT "account_vessel_id_fkey" FOREIGN KEY ("producer_id", "vessel_id") REFERENCES "vessel" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "account" ADD CONSTRAINT "account_material_lot_id_fkey" FOREIGN KEY ("producer_id", "material_lot_id") REFERENCES "material_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "account" ADD CONSTRAINT "account_packaged_lot_id_fkey" FOREIGN KEY ("producer_id", "packaged_lot_id") REFERENCES "packaged_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_premises_id_fkey" FOREIGN KEY ("producer_id", "premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_lot_id_fkey" FOREIGN KEY ("producer_id", "lot_id") REFERENCES "lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_person_id_fkey" FOREIGN KEY ("producer_id", "person_id") REFERENCES "person" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_key_id_fkey" FOREIGN KEY ("producer_id", "key_id") REFERENCES "api_key" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_note_text_id_fkey" FOREIGN KEY ("producer_id", "note_text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_earlier_period_id_fkey" FOREIGN KEY ("producer_id", "earlier_period_id") REFERENCES "period" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "posting" ADD CONSTRAINT "posting_lot_id_fkey" FOREIGN KEY ("producer_id", "lot_id") REFERENCES "lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "posting" ADD CONSTRAINT "posting_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "posting" ADD CONSTRAINT "posting_packaged_lot_id_fkey" FOREIGN KEY ("producer_id", "packaged_lot_id") REFERENCES "packaged_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "posting" ADD CONSTRAINT "posting_material_lot_id_fkey" FOREIGN KEY ("producer_id", "material_lot_id") REFERENCES "material_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "composition" ADD CONSTRAINT "composition_lot_id_fkey" FOREIGN KEY ("producer_id", "lot_id") REFERENCES "lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "composition" ADD CONSTRAINT "composition_premises_id_fkey" FOREIGN KEY ("producer_id", "premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading" ADD CONSTRAINT "reading_lot_id_fkey" FOREIGN KEY ("producer_id", "lot_id") REFERENCES "lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading" ADD CONSTRAINT "reading_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading" ADD CONSTRAINT "reading_vessel_id_fkey" FOREIGN KEY ("producer_id", "vessel_id") REFERENCES "vessel" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading" ADD CONSTRAINT "reading_instrument_id_fkey" FOREIGN KEY ("producer_id", "instrument_id") REFERENCES "instrument" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading" ADD CONSTRAINT "reading_person_id_fkey" FOREIGN KEY ("producer_id", "person_id") REFERENCES "person" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading" ADD CONSTRAINT "reading_text_id_fkey" FOREIGN KEY ("producer_id", "text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading_strike" ADD CONSTRAINT "reading_strike_reading_id_fkey" FOREIGN KEY ("producer_id", "reading_id") REFERENCES "reading" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading_strike" ADD CONSTRAINT "reading_strike_replaced_by_fkey" FOREIGN KEY ("producer_id", "replaced_by") REFERENCES "reading" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading_strike" ADD CONSTRAINT "reading_strike_text_id_fkey" FOREIGN KEY ("producer_id", "text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "finding" ADD CONSTRAINT "finding_lot_id_fkey" FOREIGN KEY ("producer_id", "lot_id") REFERENCES "lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "finding" ADD CONSTRAINT "finding_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "finding" ADD CONSTRAINT "finding_restates_fkey" FOREIGN KEY ("producer_id", "restates") REFERENCES "finding" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "finding_reading" ADD CONSTRAINT "finding_reading_finding_id_fkey" FOREIGN KEY ("producer_id", "finding_id") REFERENCES "finding" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "finding_reading" ADD CONSTRAINT "finding_reading_reading_id_fkey" FOREIGN KEY ("producer_id", "reading_id") REFERENCES "reading" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "packaged_lot" ADD CONSTRAINT "packaged_lot_lot_id_fkey" FOREIGN KEY ("producer_id", "lot_id") REFERENCES "lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "packaged_lot" ADD CONSTRAINT "packaged_lot_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "packaged_lot" ADD CONSTRAINT "packaged_lot_premises_id_fkey" FOREIGN KEY ("producer_id", "premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "movement" ADD CONSTRAINT "movement_packaged_lot_id_fkey" FOREIGN KEY ("producer_id", "packaged_lot_id") REFERENCES "packaged_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "movement" ADD CONSTRAINT "movement_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "movement" ADD CONSTRAINT "movement_material_lot_id_fkey" FOREIGN KEY ("producer_id", "material_lot_id") REFERENCES "material_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "movement" ADD CONSTRAINT "movement_counterparty_text_id_fkey" FOREIGN KEY ("producer_id", "counterparty_text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "gauge" ADD CONSTRAINT "gauge_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "gauge" ADD CONSTRAINT "gauge_vessel_id_fkey" FOREIGN KEY ("producer_id", "vessel_id") REFERENCES "vessel" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "period" ADD CONSTRAINT "period_premises_id_fkey" FOREIGN KEY ("producer_id", "premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "report" ADD CONSTRAINT "report_period_id_fkey" FOREIGN KEY ("producer_id", "period_id") REFERENCES "period" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_reverses_fkey" FOREIGN KEY ("producer_id", "reverses") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_corrects_fkey" FOREIGN KEY ("producer_id", "corrects") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "operation" ADD CONSTRAINT "operation_explains_fkey" FOREIGN KEY ("producer_id", "explains") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "posting" ADD CONSTRAINT "posting_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "composition" ADD CONSTRAINT "composition_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "finding" ADD CONSTRAINT "finding_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "packaged_lot" ADD CONSTRAINT "packaged_lot_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "movement" ADD CONSTRAINT "movement_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "gauge" ADD CONSTRAINT "gauge_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "material_lot" ADD CONSTRAINT "material_lot_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "plan" ADD CONSTRAINT "plan_lot_id_fkey" FOREIGN KEY ("producer_id", "lot_id") REFERENCES "lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "movement" ADD CONSTRAINT "movement_witness_text_id_fkey" FOREIGN KEY ("producer_id", "witness_text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_packaged_lot_id_fkey" FOREIGN KEY ("producer_id", "packaged_lot_id") REFERENCES "packaged_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_vessel_id_fkey" FOREIGN KEY ("producer_id", "vessel_id") REFERENCES "vessel" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_text_id_fkey" FOREIGN KEY ("producer_id", "text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_packaged_lot_id_fkey" FOREIGN KEY ("producer_id", "packaged_lot_id") REFERENCES "packaged_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_from_premises_id_fkey" FOREIGN KEY ("producer_id", "from_premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_to_premises_id_fkey" FOREIGN KEY ("producer_id", "to_premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "account" ADD CONSTRAINT "account_transit_id_fkey" FOREIGN KEY ("producer_id", "transit_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_packaged_lot_id_fkey" FOREIGN KEY ("producer_id", "packaged_lot_id") REFERENCES "packaged_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_material_lot_id_fkey" FOREIGN KEY ("producer_id", "material_lot_id") REFERENCES "material_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "posting" ADD CONSTRAINT "posting_operation_sequence_fkey" FOREIGN KEY ("producer_id", "operation_sequence") REFERENCES "operation" ("producer_id", "sequence");
ALTER TABLE "posting" ADD CONSTRAINT "posting_account_id_fkey" FOREIGN KEY ("producer_id", "account_id") REFERENCES "account" ("producer_id", "id");
ALTER TABLE "posting_component" ADD CONSTRAINT "posting_component_posting_fkey" FOREIGN KEY ("producer_id", "operation_sequence", "line") REFERENCES "posting" ("producer_id", "operation_sequence", "line");
ALTER TABLE "balance" ADD CONSTRAINT "balance_account_id_fkey" FOREIGN KEY ("producer_id", "account_id") REFERENCES "account" ("producer_id", "id");
ALTER TABLE "producer_head" ADD CONSTRAINT "producer_head_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "api_key" ADD CONSTRAINT "api_key_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "idempotency" ADD CONSTRAINT "idempotency_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "trail_entry" ADD CONSTRAINT "trail_entry_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "personal_text" ADD CONSTRAINT "personal_text_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "person" ADD CONSTRAINT "person_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "premises" ADD CONSTRAINT "premises_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "vessel" ADD CONSTRAINT "vessel_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "instrument" ADD CONSTRAINT "instrument_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "calibration" ADD CONSTRAINT "calibration_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "material" ADD CONSTRAINT "material_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "material_lot" ADD CONSTRAINT "material_lot_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "recipe" ADD CONSTRAINT "recipe_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "recipe_version" ADD CONSTRAINT "recipe_version_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "lot" ADD CONSTRAINT "lot_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "account" ADD CONSTRAINT "account_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "balance" ADD CONSTRAINT "balance_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "operation" ADD CONSTRAINT "operation_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "posting" ADD CONSTRAINT "posting_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "posting_component" ADD CONSTRAINT "posting_component_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "composition" ADD CONSTRAINT "composition_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "reading" ADD CONSTRAINT "reading_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "reading_strike" ADD CONSTRAINT "reading_strike_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "finding" ADD CONSTRAINT "finding_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "finding_reading" ADD CONSTRAINT "finding_reading_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "packaged_lot" ADD CONSTRAINT "packaged_lot_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "movement" ADD CONSTRAINT "movement_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "gauge" ADD CONSTRAINT "gauge_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "period" ADD CONSTRAINT "period_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "report" ADD CONSTRAINT "report_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "duty_rule_set" ADD CONSTRAINT "duty_rule_set_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "transit" ADD CONSTRAINT "transit_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");

-- A moment belongs to one period of a premises at the most.
ALTER TABLE "period" ADD CONSTRAINT "period_no_overlap" EXCLUDE USING gist ("producer_id" WITH =, "premises_id" WITH =, tstzrange("starts_at", "ends_at", '[)') WITH &&);
ALTER TABLE "period" ADD CONSTRAINT "period_runs_forward" CHECK ("starts_at" < "ends_at" AND "starts_on" < "ends_before");

-- One finding of record a composition; what restates it names it, and is itself restated once at the most.
CREATE UNIQUE INDEX "finding_of_record_key" ON "finding" ("producer_id", "composition_id") WHERE "standing" = 'of-record' AND "restates" IS NULL;
CREATE UNIQUE INDEX "finding_restates_key" ON "finding" ("producer_id", "restates") WHERE "restates" IS NOT NULL;

ALTER TABLE "finding" ADD CONSTRAINT "finding_standing_check" CHECK ("standing" IN ('provisional', 'of-record', 'supporting'));
ALTER TABLE "finding" ADD CONSTRAINT "finding_range_check" CHECK ("strength_percent" >= 0 AND "strength_percent" <= 100 AND "standard_uncertainty" >= 0 AND "expanded_uncertainty" >= 0);
ALTER TABLE "account" ADD CONSTRAINT "account_side_check" CHECK ("side" IN ('stock', 'nominal'));
ALTER TABLE "account" ADD CONSTRAINT "account_duty_status_check" CHECK ("duty_status" IN ('suspended', 'paid'));
ALTER TABLE "operation" ADD CONSTRAINT "operation_timing_check" CHECK ("timing" IN ('draw', 'change', 'assertion'));
ALTER TABLE "packaged_lot" ADD CONSTRAINT "packaged_lot_count_check" CHECK ("count" > 0 AND "nominal_litres" > 0);
ALTER TABLE "movement" ADD CONSTRAINT "movement_count_check" CHECK ("count" > 0 AND "litres" > 0);
ALTER TABLE "duty_rule_set" ADD CONSTRAINT "duty_rule_set_number_check" CHECK ("number" > 0);
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_range_check" CHECK ("counted_litres" >= 0 AND ("counted" IS NULL OR "counted" >= 0));
ALTER TABLE "transit" ADD CONSTRAINT "transit_range_check" CHECK ("count" > 0 AND "litres" > 0 AND "from_premises_id" <> "to_premises_id");
ALTER TABLE "transit" ADD CONSTRAINT "transit_goods_check" CHECK (("packaged_lot_id" IS NULL) <> ("composition_id" IS NULL) AND ("packaged_lot_id" IS NULL) = ("count" IS NULL));
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_event_check" CHECK ("event" IN ('filled', 'out', 'back', 'emptied', 'came-empty') AND ("event" = 'came-empty') = ("packaged_lot_id" IS NULL));
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_serial_check" CHECK ("serial" <> '');
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_product_check" CHECK (num_nonnulls("packaged_lot_id", "composition_id", "material_lot_id") = 1 AND ("composition_id" IS NULL) = ("vessel_id" IS NULL));
