-- Readings and what was said of them later. Rows of reading are added, never edited or deleted.

create table reading (
  id                  bigint         not null,
  event_id            bigint         not null,
  station_id          bigint         not null,
  event_key           varchar(64)    not null,
  part                smallint       not null,
  instrument_id       bigint,
  characteristic_id   bigint         not null,
  chart_id            bigint,
  lock_version        bigint         not null,
  measured_at         timestamp(6) with time zone not null,
  recorded_at         timestamp(6) with time zone not null,
  counter             bigint,
  net_value           numeric(18, 9),
  decimals            smallint,
  unit                varchar(30)    not null,
  gross               numeric(18, 9),
  tare                numeric(18, 9),
  flags               varchar(50),
  phase               varchar(12)    not null,
  die                 varchar(40),
  lot                 varchar(40),
  operator            varchar(40),
  item                varchar(40),
  truck               varchar(40),
  leaf                varchar(40),
  item_label          varchar(170),
  remeasures_id       bigint,
  remeasures_key      varchar(64),
  root_event_id       bigint         not null,
  result              varchar(12)    not null,
  direction           varchar(8),
  not_judged          varchar(24),
  specification_id    bigint,
  clock_doubt         varchar(8),
  posted_by           varchar(80)    not null,
  constraint pk_reading primary key (id),
  constraint uq_reading_key unique (event_key, station_id, part),
  constraint fk_reading_station foreign key (station_id) references station (id),
  constraint fk_reading_instrument foreign key (instrument_id) references instrument (id),
  constraint fk_reading_characteristic foreign key (characteristic_id) references characteristic (id),
  constraint fk_reading_chart foreign key (chart_id) references chart (id),
  constraint fk_reading_specification foreign key (specification_id) references specification (id),
  constraint ck_reading_phase check (phase in ('RUNNING', 'START_UP', 'TRIAL', 'CHANGEOVER')),
  constraint ck_reading_result check (result in ('PASS', 'FAIL', 'CONDITIONAL', 'NOT_JUDGED')),
  constraint ck_reading_direction check (direction in ('BELOW', 'ABOVE')),
  constraint ck_reading_clock_doubt check (clock_doubt in ('AHEAD', 'BEHIND')),
  constraint ck_reading_not_judged_says_why check ((result = 'NOT_JUDGED') = (not_judged is not null))
);
comment on table reading is 'one value an instrument showed; values taken together share event_id';
comment on column reading.part is 'place among the values taken together, from 0';
comment on column reading.lock_version is 'version of the write lock of its chart, or of its characteristic outside any chart, when it was written; a count';
comment on column reading.counter is 'the station''s own running number; a count';
comment on column reading.net_value is 'net value as shown, in unit; absent when the instrument showed none';
comment on column reading.decimals is 'decimals the value was shown with; a count';
comment on column reading.gross is 'gross value, in unit';
comment on column reading.tare is 'tare taken off, in unit';
create index ix_reading_characteristic on reading (characteristic_id, measured_at, id);
create index ix_reading_station on reading (station_id, measured_at, id);
create index ix_reading_measured on reading (measured_at, id);

create table uncounted (
  reading_id        bigint      not null,
  cause             varchar(20) not null,
  since_version     bigint      not null,
  until_version     bigint,
  characteristic_id bigint      not null,
  measured_at       timestamp(6) with time zone not null,
  constraint pk_uncounted primary key (reading_id, cause, since_version),
  constraint fk_uncounted_reading foreign key (reading_id) references reading (id),
  constraint ck_uncounted_cause check (cause in ('VOIDED', 'REPLACED', 'REMEASUREMENT', 'NOT_RUNNING',
    'NO_VALUE', 'INSTRUMENT_SUSPECT', 'INSTRUMENT_FAILED'))
);
comment on table uncounted is 'readings that do not count in statistics, and why; derived from facts and rebuildable';
comment on column uncounted.since_version is 'version of the write lock from which on it did not count';
comment on column uncounted.until_version is 'version of the write lock from which on it counted again; absent while it does not';
create index ix_uncounted_characteristic on uncounted (characteristic_id, measured_at);

create table amendment (
  id             bigint       not null,
  reading_id     bigint       not null,
  kind           varchar(8)   not null,
  replacement_id bigint,
  fact_key       varchar(64)  not null,
  reason         varchar(500) not null,
  person         varchar(80)  not null,
  recorded_at    timestamp(6) with time zone not null,
  constraint pk_amendment primary key (id),
  constraint uq_amendment_reading unique (reading_id),
  constraint uq_amendment_key unique (person, fact_key),
  constraint fk_amendment_reading foreign key (reading_id) references reading (id),
  constraint fk_amendment_replacement foreign key (replacement_id) references reading (id),
  constraint ck_amendment_kind check (kind in ('VOID', 'REPLACE')),
  constraint ck_amendment_replacement check ((kind = 'REPLACE') = (replacement_id is not null))
);
comment on table amendment is 'a later fact that voids or replaces a reading';

create table successor_result (
  reading_id       bigint      not null,
  sequence         smallint    not null,
  result           varchar(12) not null,
  direction        varchar(8),
  not_judged       varchar(24),
  specification_id bigint,
  cause            varchar(40) not null,
  lock_version     bigint      not null,
  recorded_at      timestamp(6) with time zone not null,
  constraint pk_successor_result primary key (reading_id, sequence),
  constraint fk_successor_result_reading foreign key (reading_id) references reading (id),
  constraint fk_successor_result_specification foreign key (specification_id) references specification (id),
  constraint ck_successor_result_result check (result in ('PASS', 'FAIL', 'CONDITIONAL', 'NOT_JUDGED'))
);
comment on table successor_result is 'results that took the place of earlier ones when a specification was withdrawn';
comment on column successor_result.sequence is 'counted from 1 within the reading';
comment on column successor_result.lock_version is 'version of the write lock it was written under; a count';
create index ix_reading_instrument on reading (instrument_id, measured_at);
