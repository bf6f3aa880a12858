-- The readings of whole shifts, packed, so that a study of single points or of a part of a shift need not read them
-- row by row. Segments built before keep none until they are built again; the record tells their readings meanwhile.
-- While an older copy of the service runs, it makes segments stale without taking the readings away: no check says that
-- stale ones have none.

alter table segment add column readings bytea;
comment on column segment.readings is 'of a shift: its readings that count, in order, packed; to be used only while not stale; absent where they are too many, and where it was built before this column';
