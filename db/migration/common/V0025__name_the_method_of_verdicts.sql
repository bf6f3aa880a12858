-- By which method each verdict on a cure was reached, so that a later method rewrites none, and a person has cures judged again.

alter table cure_verdict add column method integer default 1 not null;
alter table cure_verdict add column asked_key varchar(64);
alter table cure_verdict add column asked_why varchar(500);
comment on column cure_verdict.method is 'revision of the method it was reached by; a count';
comment on column cure_verdict.asked_key is 'the key of the person who asked for it; absent where nobody did';
comment on column cure_verdict.asked_why is 'why that person asked';
alter table cure_verdict drop constraint ck_cure_verdict_because;
alter table cure_verdict add constraint ck_cure_verdict_because
  check (because in ('CLOSED', 'LATE_SAMPLES', 'REVISION_CHANGED', 'ASKED'));
create index ix_cure_verdict_method on cure_verdict (method, id);
