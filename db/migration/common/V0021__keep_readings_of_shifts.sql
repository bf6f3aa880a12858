-- The readings of whole shifts, packed, so that a study of single points or of a part of a shift need not read them
-- row by row. Segments built before keep none until they are built again; the record tells their readings meanwhile.

alter table segment add column readings bytea;
comment on column segment.readings is 'of a shift: its readings that count, in order, packed; absent while stale, where they are too many, and where it was built before this column';
alter table segment add constraint ck_segment_readings check (readings is null or (span = 'SHIFT' and not stale));
