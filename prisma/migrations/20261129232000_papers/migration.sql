-- Why: issued documents cannot be mended, so what a paper of another country or an e-invoice will need is kept before more are issued: region, company
--   number, e-invoice address and buyer reference of the parties, accounts other than an IBAN, a footer and a logo; UN/ECE Rec 20 unit codes; tax
--   rates of four decimals (8.875 %) and the named taxes that a rate is made of (decision 0031).
-- Kind: compatible (new columns with defaults; the rates only widen; old code ignores the rest).
-- Lock: exclusive on business, client_private, price_item and invoice_line while the rates are rewritten; about a minute for ten million lines.
-- Way back: drop the columns; the rates may go back where none has more than two decimals.
-- Addresses stay where and as they are: `address` holds the street lines. Nothing in them is taken apart here: the keys of imported sites are made
--   of these texts, and a guess would lose what somebody wrote.

-- A table forgotten below fails loudly instead of changing no row.
SET LOCAL row_security = off;

ALTER TABLE business
  ALTER COLUMN default_tax_rate TYPE numeric(7, 4),
  ADD COLUMN default_tax_parts jsonb NOT NULL DEFAULT '[]',
  ADD COLUMN region text NOT NULL DEFAULT '',
  ADD COLUMN company_number text NOT NULL DEFAULT '',
  ADD COLUMN endpoint text NOT NULL DEFAULT '',
  ADD COLUMN account_name text NOT NULL DEFAULT '',
  ADD COLUMN sort_code text NOT NULL DEFAULT '',
  ADD COLUMN account_number text NOT NULL DEFAULT '',
  ADD COLUMN routing_number text NOT NULL DEFAULT '',
  ADD COLUMN paper_footer text NOT NULL DEFAULT '',
  ADD COLUMN logo_sha256 text,
  ADD COLUMN logo_width_px integer,
  ADD COLUMN logo_height_px integer,
  ADD CONSTRAINT business_logo_whole CHECK ((logo_sha256 IS NULL) = (logo_width_px IS NULL) AND (logo_sha256 IS NULL) = (logo_height_px IS NULL));

ALTER TABLE client
  ADD COLUMN billing_region text NOT NULL DEFAULT '',
  ADD COLUMN company_number text NOT NULL DEFAULT '',
  ADD COLUMN buyer_reference text NOT NULL DEFAULT '',
  ADD COLUMN endpoint text NOT NULL DEFAULT '';
ALTER TABLE client_private ALTER COLUMN tax_rate TYPE numeric(7, 4);
ALTER TABLE site ADD COLUMN region text NOT NULL DEFAULT '';

ALTER TABLE price_item
  ALTER COLUMN tax_rate TYPE numeric(7, 4),
  ADD COLUMN unit_code text NOT NULL DEFAULT 'C62' CONSTRAINT price_item_unit_code_form CHECK (unit_code ~ '^[A-Z0-9]{2,3}$'),
  ADD COLUMN tax_parts jsonb NOT NULL DEFAULT '[]';
ALTER TABLE invoice_line
  ALTER COLUMN tax_rate TYPE numeric(7, 4),
  ADD COLUMN unit_code text NOT NULL DEFAULT 'C62' CONSTRAINT invoice_line_unit_code_form CHECK (unit_code ~ '^[A-Z0-9]{2,3}$'),
  ADD COLUMN tax_parts jsonb NOT NULL DEFAULT '[]';

-- The words of lib/office/money/units.ts (a test holds the two against each other). What is not known stays C62, "one", and keeps its word.
CREATE TEMPORARY TABLE unit_word (word text PRIMARY KEY, code text NOT NULL) ON COMMIT DROP;
INSERT INTO unit_word VALUES
  ('', 'C62'), ('one', 'C62'), ('unit', 'C62'), ('units', 'C62'), ('visit', 'C62'), ('visits', 'C62'), ('piece', 'H87'), ('pieces', 'H87'),
  ('pc', 'H87'), ('pcs', 'H87'), ('each', 'EA'), ('hour', 'HUR'), ('hours', 'HUR'), ('h', 'HUR'), ('hr', 'HUR'), ('hrs', 'HUR'),
  ('minute', 'MIN'), ('minutes', 'MIN'), ('min', 'MIN'), ('mins', 'MIN'), ('day', 'DAY'), ('days', 'DAY'), ('week', 'WEE'), ('weeks', 'WEE'),
  ('month', 'MON'), ('months', 'MON'), ('year', 'ANN'), ('years', 'ANN'), ('litre', 'LTR'), ('litres', 'LTR'), ('liter', 'LTR'),
  ('liters', 'LTR'), ('l', 'LTR'), ('millilitre', 'MLT'), ('millilitres', 'MLT'), ('milliliter', 'MLT'), ('milliliters', 'MLT'),
  ('ml', 'MLT'), ('us gallon', 'GLL'), ('us gallons', 'GLL'), ('us gal', 'GLL'), ('imperial gallon', 'GLI'), ('imperial gallons', 'GLI'),
  ('imp gal', 'GLI'), ('kilogram', 'KGM'), ('kilograms', 'KGM'), ('kilogramme', 'KGM'), ('kilogrammes', 'KGM'), ('kilo', 'KGM'),
  ('kilos', 'KGM'), ('kg', 'KGM'), ('gram', 'GRM'), ('grams', 'GRM'), ('gramme', 'GRM'), ('grammes', 'GRM'), ('g', 'GRM'), ('pound', 'LBR'),
  ('pounds', 'LBR'), ('lb', 'LBR'), ('lbs', 'LBR'), ('ounce', 'ONZ'), ('ounces', 'ONZ'), ('oz', 'ONZ'), ('metre', 'MTR'), ('metres', 'MTR'),
  ('meter', 'MTR'), ('meters', 'MTR'), ('m', 'MTR'), ('centimetre', 'CMT'), ('centimetres', 'CMT'), ('centimeter', 'CMT'),
  ('centimeters', 'CMT'), ('cm', 'CMT'), ('foot', 'FOT'), ('feet', 'FOT'), ('ft', 'FOT'), ('kilometre', 'KMT'), ('kilometres', 'KMT'),
  ('kilometer', 'KMT'), ('kilometers', 'KMT'), ('km', 'KMT'), ('mile', 'SMI'), ('miles', 'SMI'), ('square metre', 'MTK'),
  ('square metres', 'MTK'), ('m²', 'MTK'), ('m2', 'MTK'), ('cubic metre', 'MTQ'), ('cubic metres', 'MTQ'), ('m³', 'MTQ'), ('m3', 'MTQ'),
  ('set', 'SET'), ('sets', 'SET'), ('pair', 'PR'), ('pairs', 'PR');

ALTER TABLE price_item NO FORCE ROW LEVEL SECURITY;
UPDATE price_item SET unit_code = unit_word.code FROM unit_word WHERE lower(btrim(price_item.unit)) = unit_word.word AND unit_word.code <> 'C62';
ALTER TABLE price_item FORCE ROW LEVEL SECURITY;
-- An issued line says what it said; the code beside its word is new.
ALTER TABLE invoice_line NO FORCE ROW LEVEL SECURITY, DISABLE TRIGGER invoice_line_keep_issued;
UPDATE invoice_line SET unit_code = unit_word.code FROM unit_word WHERE lower(btrim(invoice_line.unit)) = unit_word.word AND unit_word.code <> 'C62';
ALTER TABLE invoice_line ENABLE TRIGGER invoice_line_keep_issued, FORCE ROW LEVEL SECURITY;
DROP TABLE unit_word;
