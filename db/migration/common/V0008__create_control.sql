-- Frozen control limits, the signals they raise and what was done about them.

create table limit_set (
  id                 bigint           not null,
  code               varchar(40)      not null,
  chart_id           bigint           not null,
  stratum            varchar(500)     not null,
  fact_key           varchar(64)      not null,
  baseline_from      timestamp(6) with time zone not null,
  baseline_before    timestamp(6) with time zone not null,
  baseline_version   bigint           not null,
  readings           bigint           not null,
  subgroups          bigint           not null,
  incomplete         bigint           not null,
  excluded           varchar(300)     not null,
  subgroup_size      integer          not null,
  unit               varchar(30)      not null,
  centre             double precision not null,
  lower_line         double precision not null,
  upper_line         double precision not null,
  sigma              double precision not null,
  degrees_of_freedom double precision not null,
  spreads            bigint           not null,
  estimator          varchar(16)      not null,
  spread_centre      double precision not null,
  spread_lower       double precision not null,
  spread_upper       double precision not null,
  in_force_from      timestamp(6) with time zone not null,
  reason             varchar(500)     not null,
  person             varchar(80)      not null,
  recorded_at        timestamp(6) with time zone not null,
  constraint pk_limit_set primary key (id),
  constraint uq_limit_set_code unique (code),
  constraint uq_limit_set_key unique (person, fact_key),
  constraint uq_limit_set_in_force unique (chart_id, stratum, in_force_from),
  constraint fk_limit_set_chart foreign key (chart_id) references chart (id),
  constraint ck_limit_set_sigma_positive check (sigma > 0),
  constraint ck_limit_set_baseline_in_order check (baseline_before > baseline_from)
);
comment on table limit_set is 'control limits computed from a baseline and frozen';
comment on column limit_set.stratum is 'the stratum it is for; empty: every stratum of the chart that has no set of its own';
comment on column limit_set.baseline_version is 'the chart''s version when the baseline was read; a count';
comment on column limit_set.readings is 'readings of the baseline that count; a count';
comment on column limit_set.subgroups is 'points of the baseline; a count';
comment on column limit_set.incomplete is 'readings of the baseline that made no point; a count';
comment on column limit_set.excluded is 'readings of the baseline that did not count: cause=count, blanks between';
comment on column limit_set.subgroup_size is 'readings in one point; a count';
comment on column limit_set.centre is 'centre line of the points, in unit';
comment on column limit_set.lower_line is 'lower control limit of the points, in unit';
comment on column limit_set.upper_line is 'upper control limit of the points, in unit';
comment on column limit_set.sigma is 'within-subgroup sigma, in unit';
comment on column limit_set.degrees_of_freedom is 'of sigma; a number';
comment on column limit_set.spreads is 'subgroups or moving ranges that gave sigma; a count';
comment on column limit_set.spread_centre is 'centre line of the ranges, standard deviations or moving ranges, in unit';
comment on column limit_set.spread_lower is 'lower control limit of these, in unit';
comment on column limit_set.spread_upper is 'upper control limit of these, in unit';

create table signal (
  id                bigint           not null,
  chart_id          bigint           not null,
  limit_set_id      bigint           not null,
  stratum           varchar(500)     not null,
  rule              varchar(24)      not null,
  side              varchar(5)       not null,
  began_at          timestamp(6) with time zone not null,
  completed_by      bigint           not null,
  completed_at      timestamp(6) with time zone not null,
  point             double precision not null,
  raised_at         timestamp(6) with time zone not null,
  withdrawn_at      timestamp(6) with time zone,
  constraint pk_signal primary key (id),
  constraint fk_signal_chart foreign key (chart_id) references chart (id),
  constraint fk_signal_limit_set foreign key (limit_set_id) references limit_set (id),
  constraint fk_signal_reading foreign key (completed_by) references reading (id),
  constraint ck_signal_side check (side in ('ABOVE', 'BELOW'))
);
comment on table signal is 'a point, or run of points, that the rules call out of control; keyed by the reading that completed it';
comment on column signal.began_at is 'time of the first point that counts in the run';
comment on column signal.completed_by is 'the reading that completed it; an id';
comment on column signal.point is 'the completing point''s value, or its spread, when raised; in the unit of the limit set';
comment on column signal.withdrawn_at is 'since when it no longer holds, because of a later fact';
create index ix_signal_chart on signal (chart_id, completed_at);
create index ix_signal_completed_at on signal (completed_at, id);
create index ix_signal_completed_by on signal (completed_by);

create table response (
  id          bigint       not null,
  signal_id   bigint       not null,
  fact_key    varchar(64)  not null,
  cause       varchar(500) not null,
  action      varchar(500) not null,
  person      varchar(80)  not null,
  recorded_at timestamp(6) with time zone not null,
  constraint pk_response primary key (id),
  constraint uq_response_key unique (person, fact_key),
  constraint fk_response_signal foreign key (signal_id) references signal (id)
);
comment on table response is 'what a person found and did on a signal';
create index ix_response_signal on response (signal_id);

create table judged_shift (
  chart_id   bigint       not null,
  stratum    varchar(500) not null,
  shift_from timestamp(6) with time zone not null,
  constraint pk_judged_shift primary key (chart_id, stratum, shift_from),
  constraint fk_judged_shift_chart foreign key (chart_id) references chart (id)
);
comment on table judged_shift is 'shifts in which a stratum has points with limits in force, so that the neighbours of a point are found without searching; derived from readings and limit sets';
comment on column judged_shift.shift_from is 'first moment of the shift';
