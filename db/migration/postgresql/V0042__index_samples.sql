-- Vendor file: many readings name no sample, so the index holds only those that do.
create index ix_reading_sample on reading (sample, measured_at, id) where sample is not null;
