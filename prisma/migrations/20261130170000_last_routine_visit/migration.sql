-- The visits that are due are reckoned from the last one that took place, of each tank: the first entry of its index, without a look at the table.
CREATE INDEX visit_last_routine_idx ON visit (business_id, tank_id, local_date DESC, id DESC) INCLUDE (technician_id, window_start, window_end, import_batch_id)
  WHERE kind = 'routine' AND state = 'done' AND outcome IS DISTINCT FROM 'no_access';
