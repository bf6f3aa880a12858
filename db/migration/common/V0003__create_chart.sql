-- The control plan: each row is a chart. What cuts its subgroups never changes; a new way is a new row.

create table chart (
  id                     bigint        not null,
  code                   varchar(40)   not null,
  name                   varchar(120)  not null,
  characteristic_id      bigint        not null,
  line_id                bigint        not null,
  method                 varchar(200)  not null,
  sample_size            integer       not null,
  frequency              varchar(80)   not null,
  kind                   varchar(16)   not null,
  subgroup_size          integer       not null,
  strata                 varchar(80)   not null,
  rules                  varchar(120)  not null,
  response               varchar(1000) not null,
  permissible_error      numeric(18, 9),
  permissible_error_unit varchar(30),
  check_every_minutes    integer,
  retired_at             timestamp(6) with time zone,
  row_version            integer       not null,
  constraint pk_chart primary key (id),
  constraint uq_chart_code unique (code),
  constraint fk_chart_characteristic foreign key (characteristic_id) references characteristic (id),
  constraint fk_chart_line foreign key (line_id) references line (id),
  constraint ck_chart_kind check (kind in ('XBAR_R', 'XBAR_S', 'INDIVIDUALS')),
  constraint ck_chart_sample_size_positive check (sample_size > 0),
  constraint ck_chart_subgroup_size check ((kind = 'INDIVIDUALS' and subgroup_size = 1)
    or (kind <> 'INDIVIDUALS' and subgroup_size between 2 and 25)),
  constraint ck_chart_permissible_error_positive check (permissible_error > 0),
  constraint ck_chart_check_every_positive check (check_every_minutes > 0)
);
comment on table chart is 'a row of the control plan, and the chart of its readings';
comment on column chart.sample_size is 'readings taken each time; a count';
comment on column chart.subgroup_size is 'readings in one point; a count';
comment on column chart.strata is 'what a subgroup never mixes, besides shift: names with blanks between';
comment on column chart.permissible_error is 'largest error of the instrument at a check, in permissible_error_unit';
comment on column chart.check_every_minutes is 'the instrument is checked at least this often, in minutes';
