-- Press loads: who was cured where, by which channels it was watched, the samples, and the verdicts.

create table channel_set (
  id           bigint      not null,
  content_hash varchar(64) not null,
  channels     varchar(100000) not null,
  constraint pk_channel_set primary key (id),
  constraint uq_channel_set_content_hash unique (content_hash)
);
comment on table channel_set is 'the channels of a press as a cure named them; cures with equal channels share one';
comment on column channel_set.content_hash is 'SHA-256 of channels, in hexadecimal digits';
comment on column channel_set.channels is 'what each measures, in which unit, with which sensor, for which cavities, as JSON';

create table cure (
  id             bigint        not null,
  fact_key       varchar(64)   not null,
  posted_by      varchar(80)   not null,
  press_id       bigint        not null,
  schedule_id    bigint        not null,
  revision_id    bigint,
  channel_set_id bigint        not null,
  started_at     timestamp(6) with time zone not null,
  barometer      numeric(9, 4),
  recorded_at    timestamp(6) with time zone not null,
  closed_at      timestamp(6) with time zone,
  close_key      varchar(64),
  closed_by      varchar(80),
  judge_again    boolean       not null,
  version        bigint        not null,
  constraint pk_cure primary key (id),
  constraint uq_cure_key unique (posted_by, fact_key),
  constraint fk_cure_press foreign key (press_id) references press (id),
  constraint fk_cure_schedule foreign key (schedule_id) references cure_schedule (id),
  constraint fk_cure_revision foreign key (revision_id) references cure_schedule_revision (id),
  constraint fk_cure_channel_set foreign key (channel_set_id) references channel_set (id),
  constraint ck_cure_barometer check (barometer > 0),
  constraint ck_cure_closed check ((closed_at is null) = (close_key is null))
);
comment on table cure is 'one press load';
comment on column cure.revision_id is 'the schedule revision in force when it started; none where none was';
comment on column cure.barometer is 'air pressure at the press, in kPa; else the altitude of the press gives it';
comment on column cure.judge_again is 'whether the revision in force when it started has changed since its verdict';
comment on column cure.version is 'grows with each piece, the closing and each verdict; its update is the lock of the cure; a count';
create index ix_cure_started on cure (started_at, id);
create index ix_cure_press on cure (press_id, started_at, id);
create index ix_cure_schedule on cure (schedule_id, started_at, id);
create index ix_cure_revision on cure (revision_id);
create index ix_cure_judge_again on cure (judge_again, id);

create table cure_cavity (
  cure_id           bigint      not null,
  cavity            integer     not null,
  mould             varchar(40) not null,
  bladder           varchar(40),
  bladder_count     integer,
  green_tyre        varchar(40),
  green_temperature numeric(18, 9),
  green_unit        varchar(30),
  built_at          timestamp(6) with time zone,
  verdict           varchar(12),
  constraint pk_cure_cavity primary key (cure_id, cavity),
  constraint fk_cure_cavity_cure foreign key (cure_id) references cure (id),
  constraint ck_cure_cavity_bladder_count check (bladder_count >= 0),
  constraint ck_cure_cavity_green_unit check ((green_temperature is null) = (green_unit is null)),
  constraint ck_cure_cavity_verdict check (verdict in ('GOOD', 'NOT_JUDGED', 'NOT_GOOD'))
);
comment on table cure_cavity is 'one loaded place of a press load; empty cavities have no row';
comment on column cure_cavity.cavity is 'its place in the press, from 1';
comment on column cure_cavity.bladder_count is 'cures of the bladder or bag before this one; a count';
comment on column cure_cavity.green_temperature is 'of the green tyre when loaded, in green_unit';
comment on column cure_cavity.verdict is 'of the last verdict; derived from it and rebuildable';
create index ix_cure_cavity_green_tyre on cure_cavity (green_tyre);
create index ix_cure_cavity_mould on cure_cavity (mould, cure_id);
create index ix_cure_cavity_bladder on cure_cavity (bladder, cure_id);

create table cure_piece (
  id           bigint      not null,
  cure_id      bigint      not null,
  fact_key     varchar(64) not null,
  sequence     bigint,
  content_hash varchar(64) not null,
  recorded_at  timestamp(6) with time zone not null,
  posted_by    varchar(80) not null,
  late_because varchar(500),
  first_at     timestamp(6) with time zone,
  last_at      timestamp(6) with time zone,
  samples      integer     not null,
  body         bytea not null,
  constraint pk_cure_piece primary key (id),
  constraint uq_cure_piece_key unique (cure_id, fact_key),
  constraint fk_cure_piece_cure foreign key (cure_id) references cure (id),
  constraint ck_cure_piece_samples check (samples >= 0)
);
comment on table cure_piece is 'a piece of a cure log as it was sent: samples by channel and step marks';
comment on column cure_piece.sequence is 'the recorder''s own running number of the piece; a count';
comment on column cure_piece.content_hash is 'SHA-256 of what was sent, read and put in order, in hexadecimal digits';
comment on column cure_piece.late_because is 'why it came after the cure was closed';
comment on column cure_piece.samples is 'how many samples it holds; a count';
comment on column cure_piece.body is 'compressed columns; the layout is told in DEVELOPERS.md';

create table cure_verdict (
  id           bigint      not null,
  cure_id      bigint      not null,
  number       integer     not null,
  revision_id  bigint,
  because      varchar(20) not null,
  reached_at   timestamp(6) with time zone not null,
  reached_by   varchar(80) not null,
  cure_version bigint      not null,
  samples      integer     not null,
  changed      varchar(100000) not null,
  findings     varchar(1000000) not null,
  constraint pk_cure_verdict primary key (id),
  constraint uq_cure_verdict_number unique (cure_id, number),
  constraint fk_cure_verdict_cure foreign key (cure_id) references cure (id),
  constraint fk_cure_verdict_revision foreign key (revision_id) references cure_schedule_revision (id),
  constraint ck_cure_verdict_because check (because in ('CLOSED', 'LATE_SAMPLES', 'REVISION_CHANGED'))
);
comment on table cure_verdict is 'what was judged of a load; a later one succeeds it and leaves it as it is';
comment on column cure_verdict.number is 'counted from 1 within the cure';
comment on column cure_verdict.cure_version is 'the version of the cure it was reached at; a count';
comment on column cure_verdict.samples is 'how many samples it was reached from; a count';
comment on column cure_verdict.changed is 'what changed against the one before, as JSON';
comment on column cure_verdict.findings is 'figures of every cavity, as JSON, read and written whole';
create index ix_cure_verdict_revision on cure_verdict (revision_id);

create table cure_reason (
  verdict_id bigint       not null,
  position   integer      not null,
  cavity     integer      not null,
  code       varchar(32)  not null,
  weight     varchar(8)   not null,
  words      varchar(1000) not null,
  channel    varchar(40),
  place      varchar(40),
  step       varchar(40),
  from_at    timestamp(6) with time zone,
  until_at   timestamp(6) with time zone,
  amount     numeric(24, 9),
  wanted     numeric(24, 9),
  unit       varchar(30),
  line       varchar(200),
  shared     boolean      not null,
  constraint pk_cure_reason primary key (verdict_id, position),
  constraint fk_cure_reason_verdict foreign key (verdict_id) references cure_verdict (id),
  constraint ck_cure_reason_weight check (weight in ('BREACH', 'DOUBT', 'REMARK'))
);
comment on table cure_reason is 'why a cavity is held, or what is to be said of it';
comment on column cure_reason.cavity is 'its place in the press, from 1';
comment on column cure_reason.position is 'place in the list, from 0';
comment on column cure_reason.amount is 'what was found, in unit';
comment on column cure_reason.wanted is 'the limit it was held against, in unit';
comment on column cure_reason.line is 'the place in the schedule, as a JSON pointer';
comment on column cure_reason.shared is 'whether the channel serves other cavities too';

create table column_plan (
  id          bigint       not null,
  code        varchar(40)  not null,
  name        varchar(120) not null,
  definition  varchar(20000) not null,
  retired_at  timestamp(6) with time zone,
  row_version integer      not null,
  constraint pk_column_plan primary key (id),
  constraint uq_column_plan_code unique (code)
);
comment on table column_plan is 'which column of a recorder''s CSV is the time, and which a channel';
comment on column column_plan.definition is 'columns and how times are written, as JSON';
