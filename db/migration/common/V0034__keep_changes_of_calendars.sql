-- A change of shift calendars that cuts readings on record anew: who made it and why, what it cuts, since when it counts.

create table shift_calendar_change (
  id                bigint       not null,
  shift_calendar_id bigint       not null,
  action            varchar(10)  not null,
  reason            varchar(500) not null,
  person            varchar(80)  not null,
  recorded_at       timestamp(6) with time zone not null,
  cut_from          timestamp(6) with time zone not null,
  cut_before        timestamp(6) with time zone,
  version           bigint,
  in_use_at         timestamp(6) with time zone,
  constraint pk_shift_calendar_change primary key (id),
  constraint fk_shift_calendar_change_shift_calendar foreign key (shift_calendar_id) references shift_calendar (id),
  constraint ck_shift_calendar_change_action check (action in ('RECORDED', 'RETIRED', 'REINSTATED')),
  constraint ck_shift_calendar_change_in_order check (cut_before is null or cut_before > cut_from),
  constraint ck_shift_calendar_change_in_use check ((version is null) = (in_use_at is null))
);
comment on table shift_calendar_change is 'a change of shift calendars by which readings on record lie in other shifts; it counts from the version on that all charts had together';
comment on column shift_calendar_change.cut_from is 'first moment that lies in another shift';
comment on column shift_calendar_change.cut_before is 'first moment after it that lies in the same shift again; absent where none does';
comment on column shift_calendar_change.version is 'version of the lock of every chart from which on it counts; absent while readings are cut again; a count';
comment on column shift_calendar_change.in_use_at is 'the moment of this version';
create index ix_shift_calendar_change_calendar on shift_calendar_change (shift_calendar_id, id);

create table signal_to_come (
  id           bigint           not null,
  chart_id     bigint           not null,
  limit_set_id bigint           not null,
  stratum      varchar(500)     not null,
  rule         varchar(24)      not null,
  side         varchar(5),
  began_at     timestamp(6) with time zone not null,
  completed_by bigint           not null,
  completed_at timestamp(6) with time zone not null,
  point        double precision not null,
  constraint pk_signal_to_come primary key (id),
  constraint fk_signal_to_come_chart foreign key (chart_id) references chart (id),
  constraint fk_signal_to_come_limit_set foreign key (limit_set_id) references limit_set (id),
  constraint fk_signal_to_come_reading foreign key (completed_by) references reading (id),
  constraint ck_signal_to_come_side check (side in ('ABOVE', 'BELOW'))
);
comment on table signal_to_come is 'the signals of readings as shift calendars to come cut them; they become signals when these come into use';
comment on column signal_to_come.began_at is 'time of the first point that counts in the run';
comment on column signal_to_come.completed_by is 'the reading that completed it; an id';
comment on column signal_to_come.point is 'the completing point''s value, or its spread; in the unit of the limit set';
create index ix_signal_to_come_chart on signal_to_come (chart_id, completed_at);
create index ix_signal_to_come_completed_by on signal_to_come (completed_by);
