-- The readings of whole shifts, packed, so that a study of single points or of a part of a shift need not read them
-- row by row. Segments of shifts built before are built again; those of months stay.

alter table segment add column readings bytea;
comment on column segment.readings is 'of a shift: its readings that count, in order, packed; absent while stale, and where they are too many';
update segment set stale = true, changed_version = null, content = null where span = 'SHIFT' and not stale;
alter table segment add constraint ck_segment_readings check (readings is null or (span = 'SHIFT' and not stale));
