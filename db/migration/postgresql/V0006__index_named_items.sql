-- Vendor file: most strips bear no number and few name a lot, so the index holds only those that do.
create index ix_reading_item on reading (item_label, characteristic_id) where item_label is not null;
create index ix_reading_lot on reading (lot, measured_at) where lot is not null;
create index ix_reading_remeasures on reading (remeasures_id) where remeasures_id is not null;
