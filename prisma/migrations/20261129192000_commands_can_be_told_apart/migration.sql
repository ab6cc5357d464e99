-- Why: the same id with other content must be refused, not answered as if it had been saved; the commands of a visit are its
--   record, so they are found by visit; and what was said must not be rewritten.
-- Kind: expand, and two rules. Three columns, filled where the payload names a visit or a stop; two indexes; a trigger that lets only
--   status, reason and result of a command change; no deleting.
-- Lock: `command` for the time of adding, filling and indexing (about a second for 100,000 commands).
-- Way back: drop the trigger, the function, the two indexes and the three columns, and grant UPDATE on "command" again. The version
--   before this one ignores the columns; its only update sets `result`, which stays allowed.

-- AlterTable
ALTER TABLE "command" ADD COLUMN     "hash" TEXT,
ADD COLUMN     "stop_id" UUID,
ADD COLUMN     "visit_id" UUID;

-- CreateIndex
CREATE INDEX "command_business_id_visit_id_idx" ON "command"("business_id", "visit_id");

-- CreateIndex
CREATE INDEX "command_business_id_stop_id_idx" ON "command"("business_id", "stop_id");

-- The fill. All businesses at once: the owner is held by row policies otherwise (docs/decisions/0003).
SET LOCAL row_security = off;
ALTER TABLE "command" NO FORCE ROW LEVEL SECURITY;
UPDATE "command" SET
  "visit_id" = CASE WHEN payload ->> 'visitId' ~* '^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$' THEN (payload ->> 'visitId')::uuid END,
  "stop_id" = CASE WHEN payload ->> 'stopId' ~* '^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$' THEN (payload ->> 'stopId')::uuid END
  WHERE jsonb_typeof(payload) = 'object' AND (payload ? 'visitId' OR payload ? 'stopId');
ALTER TABLE "command" FORCE ROW LEVEL SECURITY;

-- What was said stays. Only what became of it is written afterwards.
CREATE FUNCTION keep_command() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP = 'DELETE' OR ROW(NEW.business_id, NEW.id, NEW.device_id, NEW.device_seq, NEW.made_at, NEW.clock_offset_ms, NEW.kind,
      NEW.version, NEW.payload, NEW.received_at, NEW.person_id, NEW.visit_id, NEW.stop_id, NEW.hash)
    IS DISTINCT FROM ROW(OLD.business_id, OLD.id, OLD.device_id, OLD.device_seq, OLD.made_at, OLD.clock_offset_ms, OLD.kind,
      OLD.version, OLD.payload, OLD.received_at, OLD.person_id, OLD.visit_id, OLD.stop_id, OLD.hash) THEN
    RAISE EXCEPTION 'command is append-only but for status, reason and result' USING ERRCODE = 'restrict_violation';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER command_append_only BEFORE UPDATE OR DELETE ON "command" FOR EACH ROW EXECUTE FUNCTION keep_command();
REVOKE UPDATE ON "command" FROM tankround_office, tankround_client;
GRANT UPDATE ("status", "reason", "result") ON "command" TO tankround_office, tankround_client;
