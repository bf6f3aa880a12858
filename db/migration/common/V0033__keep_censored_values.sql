-- A value that is only a bound of the true one is kept as such, judged where the bound decides, and not counted.

alter table reading add column censored varchar(5);
alter table reading add constraint ck_reading_censored check (censored in ('ABOVE', 'BELOW'));
alter table reading add constraint ck_reading_censored_has_value check (censored is null or net_value is not null);
comment on column reading.censored is 'ABOVE where the true value is at least the value, BELOW where at most';

alter table uncounted drop constraint ck_uncounted_cause;
alter table uncounted add constraint ck_uncounted_cause check (cause in ('VOIDED', 'REPLACED', 'REMEASUREMENT', 'NOT_RUNNING',
  'NO_VALUE', 'ABOVE_CAPACITY', 'CENSORED', 'INSTRUMENT_SUSPECT', 'INSTRUMENT_FAILED'));
