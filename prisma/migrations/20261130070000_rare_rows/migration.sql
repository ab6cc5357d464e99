-- Today asks for the few of these among very many: what a visit switched off or on, and intervals that the records propose to change.
CREATE INDEX visit_event_switching_idx ON visit_event (business_id, visit_id) WHERE kind IN ('switched-off', 'switched-on');
CREATE INDEX due_item_proposal_idx ON due_item (business_id) WHERE proposal IS NOT NULL;
