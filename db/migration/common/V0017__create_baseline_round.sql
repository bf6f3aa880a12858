-- In which rounds the limits of a limit set were found: which points were set aside for which cause, and the limits of each round.

create table baseline_round (
  limit_set_id bigint           not null,
  round        smallint         not null,
  points       bigint           not null,
  spreads      bigint           not null,
  centre       double precision not null,
  lower_line   double precision not null,
  upper_line   double precision not null,
  sigma        double precision not null,
  beyond       bigint           not null,
  constraint pk_baseline_round primary key (limit_set_id, round),
  constraint fk_baseline_round_limit_set foreign key (limit_set_id) references limit_set (id),
  constraint ck_baseline_round_sigma_positive check (sigma > 0)
);
comment on table baseline_round is 'limits of a baseline without the points set aside so far; sets frozen before rounds were recorded have none';
comment on column baseline_round.round is '0 for the baseline as it came, then counted from 1';
comment on column baseline_round.points is 'points that went into these limits; a count';
comment on column baseline_round.spreads is 'subgroups or moving ranges that gave sigma; a count';
comment on column baseline_round.centre is 'centre line of the points, in the unit of the limit set';
comment on column baseline_round.lower_line is 'lower control limit of the points, in the unit of the limit set';
comment on column baseline_round.upper_line is 'upper control limit of the points, in the unit of the limit set';
comment on column baseline_round.sigma is 'within-subgroup sigma, in the unit of the limit set';
comment on column baseline_round.beyond is 'points that went in and lie beyond these limits, or whose spread does; a count';

create table set_aside (
  limit_set_id bigint           not null,
  last_reading bigint           not null,
  round        smallint         not null,
  measured_at  timestamp(6) with time zone not null,
  point        double precision not null,
  cause        varchar(500)     not null,
  constraint pk_set_aside primary key (limit_set_id, last_reading),
  constraint fk_set_aside_round foreign key (limit_set_id, round) references baseline_round (limit_set_id, round),
  constraint fk_set_aside_reading foreign key (last_reading) references reading (id),
  constraint ck_set_aside_round_counted check (round > 0)
);
comment on table set_aside is 'a point of a baseline that a person set aside, and why';
comment on column set_aside.last_reading is 'the reading that completed the point; an id';
comment on column set_aside.round is 'the round it was set aside in, from 1';
comment on column set_aside.measured_at is 'the time of the point';
comment on column set_aside.point is 'the point''s value, in the unit of the limit set';
