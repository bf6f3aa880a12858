-- Vendor file: H2 has no partial indexes.
create index ix_reading_item on reading (item_label, characteristic_id);
create index ix_reading_lot on reading (lot, measured_at);
create index ix_reading_remeasures on reading (remeasures_id);
