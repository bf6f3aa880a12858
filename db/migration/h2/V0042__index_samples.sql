-- Vendor file: H2 has no partial indexes.
create index ix_reading_sample on reading (sample, measured_at, id);
