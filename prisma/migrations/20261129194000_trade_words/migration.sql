-- Why: slugs and one column are called by the trade's own words (impeller, external filter, auto top-up, cylinder, isolator; decision 0026); later it
--   would cost more. The same pairs stand in lib/trade/catalogue/formerly.ts, and a test holds the two against each other.
--   Commands as received, imported rows' keys and the audit stay as they were written: parsers read them through `formerly`.
-- Kind: breaks the previous version of the code (it knows the former slugs and the column `breaker`).
-- Lock: exclusive on each table that holds a slug while its rows are rewritten; about a minute for ten million findings.
-- Way back: the same with the pairs turned round.
-- Lanes, work due and repeat faults are dropped and `business.derived_missing` is set: start, migrate and restore make them again from what happened.

-- A table forgotten below fails loudly instead of changing no row.
SET LOCAL row_security = off;

CREATE TEMPORARY TABLE renamed (former text PRIMARY KEY, current text NOT NULL UNIQUE) ON COMMIT DROP;
INSERT INTO renamed VALUES
  ('canister-filter', 'external-filter'),
  ('auto-top-off', 'auto-top-up'),
  ('protein-skimmer/rotor-grit', 'protein-skimmer/impeller-grit'),
  ('protein-skimmer/rotor-film', 'protein-skimmer/impeller-film'),
  ('protein-skimmer/rotor-worn', 'protein-skimmer/impeller-worn'),
  ('return-pump/rotor-scale', 'return-pump/impeller-scale'),
  ('circulation-pump/rotor-coralline', 'circulation-pump/impeller-coralline'),
  ('canister-filter/media-clogged', 'external-filter/media-clogged'),
  ('canister-filter/seal-tired', 'external-filter/seal-tired'),
  ('canister-filter/rotor-scale', 'external-filter/impeller-scale'),
  ('auto-top-off/sensor-fouled', 'auto-top-up/sensor-fouled'),
  ('auto-top-off/pump-stuck', 'auto-top-up/pump-stuck'),
  ('auto-top-off/siphon', 'auto-top-up/siphon'),
  ('carbon-dioxide-set/bottle-empty', 'carbon-dioxide-set/cylinder-empty'),
  ('protein-skimmer/replace-rotor', 'protein-skimmer/replace-impeller'),
  ('return-pump/replace-rotor', 'return-pump/replace-impeller'),
  ('canister-filter/rinse-media', 'external-filter/rinse-media'),
  ('canister-filter/replace-seal', 'external-filter/replace-seal'),
  ('canister-filter/brush-rotor', 'external-filter/brush-impeller'),
  ('auto-top-off/wipe-sensor', 'auto-top-up/wipe-sensor'),
  ('auto-top-off/service-pump', 'auto-top-up/service-pump'),
  ('auto-top-off/break-siphon', 'auto-top-up/break-siphon'),
  ('carbon-dioxide-set/change-bottle', 'carbon-dioxide-set/change-cylinder'),
  ('fresh-community', 'freshwater-community'),
  ('top-off-water', 'top-up-water');
ANALYZE renamed;

ALTER TABLE business ADD COLUMN derived_missing BOOLEAN NOT NULL DEFAULT false;
GRANT SELECT (derived_missing) ON business TO tankround_identity;
ALTER TABLE tank_private RENAME COLUMN breaker TO isolator;
ALTER TABLE reservoir DROP CONSTRAINT reservoir_kind_known;

DO $$
DECLARE
  holder record;
  formers text[] := (SELECT array_agg(former) FROM renamed);
  quoted text := (SELECT string_agg('"' || former || '"', '|') FROM renamed);
  assignments text;
  condition text;
  pair record;
  json_change text;
BEGIN
  -- Each table once: its rows are rewritten once.
  FOR holder IN SELECT * FROM (VALUES
    ('slot', ARRAY['equipment_class']),
    ('equipment', ARRAY['equipment_class', 'removed_because_mode']),
    ('finding', ARRAY['equipment_class', 'failure_mode']),
    ('renewal', ARRAY['failure_mode', 'care_task']),
    ('catalogue_overlay', ARRAY['slug', 'equipment_class']),
    ('cost_setting', ARRAY['equipment_class', 'failure_mode']),
    ('life_model', ARRAY['equipment_class', 'failure_mode']),
    ('interval_choice', ARRAY['care_task', 'failure_mode']),
    ('fault_remedy', ARRAY['equipment_class', 'failure_mode']),
    ('part_fit', ARRAY['equipment_class', 'care_task']),
    ('tank', ARRAY['profile']),
    ('reservoir', ARRAY['kind'])
  ) AS holders (table_name, columns) LOOP
    SELECT string_agg(format('%1$I = coalesce((SELECT current FROM renamed WHERE former = %1$I), %1$I)', name), ', '),
           string_agg(format('%I = ANY ($1)', name), ' OR ')
      INTO assignments, condition FROM unnest(holder.columns) AS name;
    EXECUTE format('ALTER TABLE %I NO FORCE ROW LEVEL SECURITY, DISABLE TRIGGER USER', holder.table_name);
    EXECUTE format('UPDATE %I SET %s WHERE %s', holder.table_name, assignments, condition) USING formers;
    EXECUTE format('ALTER TABLE %I ENABLE TRIGGER USER, FORCE ROW LEVEL SECURITY', holder.table_name);
  END LOOP;

  -- Events of visits name devices, modes and tasks in their detail; notes and captions are people's own words and are left alone.
  json_change := 'detail::text';
  FOR pair IN SELECT * FROM renamed LOOP
    json_change := format('replace(%s, %L, %L)', json_change, '"' || pair.former || '"', '"' || pair.current || '"');
  END LOOP;
  ALTER TABLE visit_event NO FORCE ROW LEVEL SECURITY, DISABLE TRIGGER USER;
  EXECUTE format('UPDATE visit_event SET detail = (%s)::jsonb WHERE kind IN (''switched-off'', ''switched-on'', ''left'', ''suspected'', ''work'') AND detail::text ~ %L',
    json_change, quoted);
  ALTER TABLE visit_event ENABLE TRIGGER USER, FORCE ROW LEVEL SECURITY;
END $$;

ALTER TABLE reservoir ADD CONSTRAINT reservoir_kind_known
  CHECK (kind IN ('top-up-water', 'salt-water', 'salt', 'dose', 'lime-water', 'calcium-dose', 'acid-dose', 'food', 'gas', 'fleece', 'sock', 'other'));

ALTER TABLE lane NO FORCE ROW LEVEL SECURITY;
ALTER TABLE due_item NO FORCE ROW LEVEL SECURITY;
ALTER TABLE repeat_fault NO FORCE ROW LEVEL SECURITY;
ALTER TABLE business NO FORCE ROW LEVEL SECURITY;
UPDATE business SET derived_missing = true
  WHERE id IN (SELECT business_id FROM lane UNION SELECT business_id FROM due_item UNION SELECT business_id FROM repeat_fault);
DELETE FROM repeat_fault;
DELETE FROM due_item;
DELETE FROM lane;
ALTER TABLE lane FORCE ROW LEVEL SECURITY;
ALTER TABLE due_item FORCE ROW LEVEL SECURITY;
ALTER TABLE repeat_fault FORCE ROW LEVEL SECURITY;
ALTER TABLE business FORCE ROW LEVEL SECURITY;
