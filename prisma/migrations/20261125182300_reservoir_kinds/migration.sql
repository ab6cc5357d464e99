-- Why: a dose of lime, calcium chloride or acid needs its own caution when its bottle is filled; 'dose' alone cannot say which.
-- Kind: compatible, one step. Lock: brief, the table is new.   Way back: restore the shorter list.
ALTER TABLE reservoir DROP CONSTRAINT reservoir_kind_known,
  ADD CONSTRAINT reservoir_kind_known CHECK (kind IN ('top-off-water', 'salt-water', 'salt', 'dose', 'lime-water', 'calcium-dose', 'acid-dose', 'food', 'gas', 'fleece', 'sock', 'other'));
