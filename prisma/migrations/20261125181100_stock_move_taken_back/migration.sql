-- Why: a stock move that never happened is corrected to a quantity of 0; the row that says so must be allowed to.
-- Kind: compatible, widens a check.   Lock: brief, the table is scanned once.   Way back: the former check.
ALTER TABLE stock_move DROP CONSTRAINT stock_move_quantity_possible,
  ADD CONSTRAINT stock_move_quantity_possible CHECK (quantity >= 0 AND (quantity > 0 OR kind = 'counted' OR corrects_id IS NOT NULL));
