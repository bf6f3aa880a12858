-- How uncertain each station measures what, and specifications that keep a guard band for it when a reading is judged.

alter table specification add column guard_factor numeric(18, 9);
alter table specification add constraint ck_specification_guard_factor check (guard_factor > 0 and guard_factor <= 2);
comment on column specification.guard_factor is 'guarded acceptance: guard band over the expanded measuring uncertainty, a ratio; absent: simple acceptance';

create table measuring_uncertainty (
  id                   bigint         not null,
  station_id           bigint         not null,
  characteristic_id    bigint         not null,
  revision             integer        not null,
  fact_key             varchar(64)    not null,
  valid_from           timestamp(6) with time zone not null,
  expanded_uncertainty numeric(18, 9) not null,
  unit                 varchar(30)    not null,
  coverage_factor      numeric(18, 9) not null,
  basis                varchar(500)   not null,
  study                varchar(1000000),
  person               varchar(80)    not null,
  recorded_at          timestamp(6) with time zone not null,
  constraint pk_measuring_uncertainty primary key (id),
  constraint uq_measuring_uncertainty_revision unique (station_id, characteristic_id, revision),
  constraint uq_measuring_uncertainty_key unique (person, fact_key),
  constraint fk_measuring_uncertainty_station foreign key (station_id) references station (id),
  constraint fk_measuring_uncertainty_characteristic foreign key (characteristic_id) references characteristic (id),
  constraint ck_measuring_uncertainty_positive check (expanded_uncertainty > 0),
  constraint ck_measuring_uncertainty_factor_positive check (coverage_factor > 0)
);
comment on table measuring_uncertainty is 'expanded measuring uncertainty of a station for a characteristic, in dated revisions';
comment on column measuring_uncertainty.revision is 'counted from 1 within station and characteristic';
comment on column measuring_uncertainty.expanded_uncertainty is 'half-width of the interval about a reading, in unit';
comment on column measuring_uncertainty.coverage_factor is 'expanded over standard uncertainty, a ratio';
comment on column measuring_uncertainty.study is 'JSON: parts, operators, readings in unit, where it was computed from a crossed study';

create table measuring_uncertainty_withdrawal (
  uncertainty_id bigint       not null,
  reason         varchar(500) not null,
  person         varchar(80)  not null,
  recorded_at    timestamp(6) with time zone not null,
  constraint pk_measuring_uncertainty_withdrawal primary key (uncertainty_id),
  constraint fk_measuring_uncertainty_withdrawal foreign key (uncertainty_id) references measuring_uncertainty (id)
);
comment on table measuring_uncertainty_withdrawal is 'a later fact: the revision was wrong and does not stand';

alter table reading add column uncertainty_id bigint;
alter table reading add constraint fk_reading_uncertainty foreign key (uncertainty_id) references measuring_uncertainty (id);
alter table successor_result add column uncertainty_id bigint;
alter table successor_result add constraint fk_successor_result_uncertainty foreign key (uncertainty_id) references measuring_uncertainty (id);
