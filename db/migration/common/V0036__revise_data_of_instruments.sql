-- What an instrument can show stands in revisions that begin at a moment: a wrong one is mended by a later one.

create table instrument_revision (
  instrument_id         bigint         not null,
  revision              integer        not null,
  valid_from            timestamp(6) with time zone not null,
  capacity              numeric(18, 9),
  scale_interval        numeric(18, 9),
  verification_interval numeric(18, 9),
  accuracy_class        varchar(4),
  fact_key              varchar(64),
  reason                varchar(500),
  person                varchar(80),
  recorded_at           timestamp(6) with time zone not null,
  constraint pk_instrument_revision primary key (instrument_id, revision),
  constraint uq_instrument_revision_key unique (instrument_id, person, fact_key),
  constraint fk_instrument_revision_instrument foreign key (instrument_id) references instrument (id),
  constraint ck_instrument_revision_first check ((revision = 1) = (fact_key is null) and (revision = 1) = (reason is null)),
  constraint ck_instrument_revision_capacity_positive check (capacity > 0),
  constraint ck_instrument_revision_scale_interval_positive check (scale_interval > 0),
  constraint ck_instrument_revision_verification_interval_positive check (verification_interval > 0),
  constraint ck_instrument_revision_accuracy_class check (accuracy_class in ('I', 'II', 'III', 'IIII'))
);
comment on table instrument_revision is 'what an instrument can show from a moment on; of several that have begun, the one that began last, then the one recorded last';
comment on column instrument_revision.revision is 'counted from 1 within the instrument; the first is what it was recorded with and holds from 1970 on';
comment on column instrument_revision.capacity is 'the most it can show, in its unit';
comment on column instrument_revision.scale_interval is 'd, the step of what it shows, in its unit';
comment on column instrument_revision.verification_interval is 'e of a scale (OIML R 76), in its unit';
comment on column instrument_revision.person is 'who recorded it; absent where an earlier schema did not keep it';

insert into instrument_revision (instrument_id, revision, valid_from, capacity, scale_interval, verification_interval,
  accuracy_class, fact_key, reason, person, recorded_at)
select i.id, 1, timestamp with time zone '1970-01-01 00:00:00+00', i.capacity, i.scale_interval, i.verification_interval,
  i.accuracy_class, null, null,
  (select min(a.actor) from audit_entry a where a.subject = 'instrument' and a.action = 'created' and a.code = i.code),
  coalesce((select min(a.at) from audit_entry a where a.subject = 'instrument' and a.action = 'created' and a.code = i.code),
    timestamp with time zone '1970-01-01 00:00:00+00')
from instrument i;

comment on column instrument.capacity is 'as an earlier schema kept it, in its unit; instrument_revision holds what counts';
comment on column instrument.scale_interval is 'as an earlier schema kept it, in its unit; instrument_revision holds what counts';
comment on column instrument.verification_interval is 'as an earlier schema kept it, in its unit; instrument_revision holds what counts';
