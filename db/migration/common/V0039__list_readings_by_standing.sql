-- Readings of a standing are listed by time and id, from an index, however many readings there are.
create index ix_uncounted_cause on uncounted (cause, measured_at, reading_id);
