-- Presses, and what the cure of a load should be, in revisions.

create table press (
  id          bigint        not null,
  code        varchar(40)   not null,
  name        varchar(120)  not null,
  station_id  bigint        not null,
  cavities    integer       not null,
  altitude    numeric(6, 1) not null,
  retired_at  timestamp(6) with time zone,
  row_version integer       not null,
  constraint pk_press primary key (id),
  constraint uq_press_code unique (code),
  constraint fk_press_station foreign key (station_id) references station (id),
  constraint ck_press_cavities check (cavities between 1 and 100)
);
comment on table press is 'a press or vulcaniser and how many tyres a load of it holds';
comment on column press.cavities is 'how many; called 1, 2, 3 and on; a count';
comment on column press.altitude is 'height above sea level, in metres; gives the barometer where a cure brings none';

create table cure_schedule (
  id          bigint       not null,
  code        varchar(40)  not null,
  name        varchar(120) not null,
  product_id  bigint,
  retired_at  timestamp(6) with time zone,
  row_version integer      not null,
  constraint pk_cure_schedule primary key (id),
  constraint uq_cure_schedule_code unique (code),
  constraint fk_cure_schedule_product foreign key (product_id) references product (id)
);
comment on table cure_schedule is 'a cure that tyres are given; what it is stands in its revisions';

create table cure_schedule_revision (
  id               bigint       not null,
  schedule_id      bigint       not null,
  revision         integer      not null,
  fact_key         varchar(64)  not null,
  valid_from       timestamp(6) with time zone not null,
  definition       varchar(100000) not null,
  reason           varchar(500) not null,
  person           varchar(80)  not null,
  recorded_at      timestamp(6) with time zone not null,
  withdrawn_at     timestamp(6) with time zone,
  withdrawn_by     varchar(80),
  withdrawn_reason varchar(500),
  constraint pk_cure_schedule_revision primary key (id),
  constraint uq_cure_schedule_revision unique (schedule_id, revision),
  constraint uq_cure_schedule_revision_key unique (schedule_id, person, fact_key),
  constraint fk_cure_schedule_revision_schedule foreign key (schedule_id) references cure_schedule (id),
  constraint ck_cure_schedule_revision_withdrawn check ((withdrawn_at is null) = (withdrawn_by is null))
);
comment on table cure_schedule_revision is 'one revision of a schedule; never edited, a wrong one is withdrawn';
comment on column cure_schedule_revision.definition is 'steps, set points, section and what is wanted, as JSON; read and written whole, never searched inside';

create table thermocouple_study (
  id                 bigint         not null,
  schedule_id        bigint         not null,
  revision           integer        not null,
  fact_key           varchar(64)    not null,
  place              varchar(40)    not null,
  counted_until      varchar(8)     not null,
  equivalents        numeric(18, 9) not null,
  uncertainty        numeric(18, 9) not null,
  measured_on        date           not null,
  source             varchar(200)   not null,
  person             varchar(80)    not null,
  recorded_at        timestamp(6) with time zone not null,
  constraint pk_thermocouple_study primary key (id),
  constraint uq_thermocouple_study_key unique (person, fact_key),
  constraint fk_thermocouple_study_schedule foreign key (schedule_id) references cure_schedule (id),
  constraint ck_thermocouple_study_counted_until check (counted_until in ('RELEASE', 'OPENING', 'END'))
);
comment on table thermocouple_study is 'what couples built into a tyre said of a schedule; estimates are set beside it';
comment on column thermocouple_study.equivalents is 'in equivalent minutes at the compound''s reference temperature';
comment on column thermocouple_study.uncertainty is 'standard uncertainty, in equivalent minutes';
create index ix_thermocouple_study_schedule on thermocouple_study (schedule_id, revision);
