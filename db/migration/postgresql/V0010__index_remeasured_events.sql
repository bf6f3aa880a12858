-- Vendor file: few events measure an item again, so the index holds only those that do.
create index ix_reading_root_event on reading (root_event_id) where root_event_id <> event_id;
