-- Why: what is booked or under way is a few rows among years of visits that are done; Today, the plan and the agreements ask for these only, and for
--   those that were missed (a booked visit whose day is over).
-- Kind: compatible.   Lock: brief for small tables; writes to visit wait while the index is built.   Way back: drop the index.
CREATE INDEX visit_not_ended_by_day ON visit (business_id, local_date) WHERE state IN ('booked', 'under_way');
