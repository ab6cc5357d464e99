-- Why: what lies where was the sum of all moves that there ever were, read anew by every page that shows stock; it grew with history. Now each move
--   also changes one row for its part and place, in its own transaction, whoever writes it.
-- Kind: compatible: the trigger keeps the rows for code of before too; derived, `npm run rebuild` makes them again.
-- Lock: stock_move is not written while its moves are summed once (a second at 1,000,000).   Way back: drop trigger, function and table.
CREATE TABLE "stock_on_hand" (
    "business_id" UUID NOT NULL,
    "part_id" UUID NOT NULL,
    "place_id" UUID NOT NULL,
    "quantity" DECIMAL(15,3) NOT NULL,

    CONSTRAINT "stock_on_hand_pkey" PRIMARY KEY ("business_id","part_id","place_id")
);
-- Before the rows: a foreign key added to a table with rows looks at the other table as its owner, who is held by row policies.
ALTER TABLE "stock_on_hand" ADD CONSTRAINT "stock_on_hand_business_id_part_id_fkey" FOREIGN KEY ("business_id", "part_id") REFERENCES "part"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "stock_on_hand" ADD CONSTRAINT "stock_on_hand_business_id_place_id_fkey" FOREIGN KEY ("business_id", "place_id") REFERENCES "stock_place"("business_id", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "stock_on_hand" ADD CONSTRAINT "stock_on_hand_business_id_fkey" FOREIGN KEY ("business_id") REFERENCES "business"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
-- What one van or shelf holds.
CREATE INDEX "stock_on_hand_business_id_place_id_idx" ON "stock_on_hand"("business_id", "place_id");

-- What the new moves change: their own quantities, and of those that they correct the opposite. All rows of a statement are added up first and
-- written in one order, so that two statements wait for each other instead of locking each other out.
CREATE FUNCTION add_to_stock_on_hand() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  INSERT INTO stock_on_hand AS held (business_id, part_id, place_id, quantity)
  SELECT moved.business_id, moved.part_id, side.place_id, sum(side.change)
  FROM (
    SELECT business_id, part_id, from_place_id, to_place_id, quantity FROM added
    UNION ALL
    SELECT before.business_id, before.part_id, before.from_place_id, before.to_place_id, -before.quantity
    FROM added JOIN stock_move before ON before.business_id = added.business_id AND before.id = added.corrects_id
  ) moved
  CROSS JOIN LATERAL (VALUES (moved.to_place_id, moved.quantity), (moved.from_place_id, -moved.quantity)) side (place_id, change)
  WHERE side.place_id IS NOT NULL
  GROUP BY moved.business_id, moved.part_id, side.place_id
  ORDER BY moved.business_id, moved.part_id, side.place_id
  ON CONFLICT (business_id, part_id, place_id) DO UPDATE SET quantity = held.quantity + excluded.quantity;
  RETURN NULL;
END $$;
CREATE TRIGGER stock_move_on_hand AFTER INSERT ON stock_move REFERENCING NEW TABLE AS added FOR EACH STATEMENT EXECUTE FUNCTION add_to_stock_on_hand();

ALTER TABLE stock_move NO FORCE ROW LEVEL SECURITY;
SET LOCAL row_security = off;
INSERT INTO stock_on_hand (business_id, part_id, place_id, quantity)
  SELECT move.business_id, move.part_id, side.place_id, sum(side.change)
  FROM stock_move move
  CROSS JOIN LATERAL (VALUES (move.to_place_id, move.quantity), (move.from_place_id, -move.quantity)) side (place_id, change)
  WHERE side.place_id IS NOT NULL
    AND NOT EXISTS (SELECT 1 FROM stock_move later WHERE later.business_id = move.business_id AND later.corrects_id = move.id)
  GROUP BY move.business_id, move.part_id, side.place_id;
ALTER TABLE stock_move FORCE ROW LEVEL SECURITY;

ALTER TABLE stock_on_hand ENABLE ROW LEVEL SECURITY;
ALTER TABLE stock_on_hand FORCE ROW LEVEL SECURITY;
CREATE POLICY stock_on_hand_office ON stock_on_hand FOR ALL TO tankround_office USING (business_id = (SELECT current_business())) WITH CHECK (business_id = (SELECT current_business()));
GRANT SELECT, INSERT, UPDATE, DELETE ON stock_on_hand TO tankround_office;
-- Few of very many moves are counts: when a place was counted last, and which count takes up what is told late.
CREATE INDEX stock_move_counted_idx ON stock_move (business_id, part_id, moved_on) WHERE kind = 'counted';
