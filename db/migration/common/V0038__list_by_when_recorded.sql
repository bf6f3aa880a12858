-- Amendments, checks and cures are listed by when they were recorded, so that who copies them asks for what is new only.

create index ix_amendment_recorded on amendment (recorded_at, id);
create index ix_instrument_check_recorded on instrument_check (recorded_at, id);
create index ix_cure_recorded on cure (recorded_at, id);
