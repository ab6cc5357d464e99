-- Why: taking an import back hides its visits by the row policy, but what was noted for us of them has no import of its own and
--   stayed readable; a note is now hidden with its visit (decision 0008).
-- Kind: compatible; a policy only, no data.   Lock: brief, no rewrite, no scan.   Way back: create the former policy again.
DROP POLICY visit_private_office ON visit_private;
CREATE POLICY visit_private_office ON visit_private FOR ALL TO tankround_office
  USING (
    business_id = (SELECT current_business())
    AND EXISTS (SELECT 1 FROM visit whole WHERE whole.business_id = visit_private.business_id AND whole.id = visit_private.visit_id)
  )
  WITH CHECK (business_id = (SELECT current_business()));
