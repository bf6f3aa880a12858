-- What a person settled of samples that were sent with different values for one moment.

create table cure_settlement (
  id          bigint        not null,
  cure_id     bigint        not null,
  number      integer       not null,
  person      varchar(80)   not null,
  fact_key    varchar(64)   not null,
  channel     varchar(40)   not null,
  from_at     timestamp(6) with time zone not null,
  until_at    timestamp(6) with time zone not null,
  stands      varchar(64),
  among       varchar(100000) not null,
  reason      varchar(500)  not null,
  recorded_at timestamp(6) with time zone not null,
  constraint pk_cure_settlement primary key (id),
  constraint uq_cure_settlement_number unique (cure_id, number),
  constraint uq_cure_settlement_key unique (cure_id, person, fact_key),
  constraint fk_cure_settlement_cure foreign key (cure_id) references cure (id),
  constraint ck_cure_settlement_window check (from_at <= until_at)
);
comment on table cure_settlement is 'which of several values sent for one moment stands; a later one of the same moments takes its place';
comment on column cure_settlement.number is 'counted from 1 within the cure';
comment on column cure_settlement.from_at is 'the first moment that was settled';
comment on column cure_settlement.until_at is 'the last moment that was settled';
comment on column cure_settlement.stands is 'key of the piece whose values stand; null where none does';
comment on column cure_settlement.among is 'keys of the pieces that the person saw in conflict, as JSON; a later piece reopens it';
alter table cure_verdict drop constraint ck_cure_verdict_because;
alter table cure_verdict add constraint ck_cure_verdict_because
  check (because in ('CLOSED', 'LATE_SAMPLES', 'REVISION_CHANGED', 'ASKED', 'SETTLED'));
