-- Vendor file: H2 has no partial indexes.
create index ix_reading_root_event on reading (root_event_id);
