-- A value above what its instrument can weigh is kept as a fact, and is neither judged nor counted.

alter table uncounted drop constraint ck_uncounted_cause;
alter table uncounted add constraint ck_uncounted_cause check (cause in ('VOIDED', 'REPLACED', 'REMEASUREMENT', 'NOT_RUNNING',
  'NO_VALUE', 'ABOVE_CAPACITY', 'INSTRUMENT_SUSPECT', 'INSTRUMENT_FAILED'));
