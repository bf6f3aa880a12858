-- Figures as they stood: when each version of a lock began, to the minute, and the versions under which
-- signals were raised and withdrawn.

create table lock_moment (
  lock_id  bigint not null,
  version  bigint not null,
  taken_at timestamp(6) with time zone not null,
  constraint pk_lock_moment primary key (lock_id, version)
);
comment on table lock_moment is 'the first version of a lock in each minute in which it was taken, so that a moment can be found as a version; referenced by nothing';
comment on column lock_moment.version is 'version of the lock; a count';
create index ix_lock_moment_taken on lock_moment (lock_id, taken_at);
insert into lock_moment (lock_id, version, taken_at) select id, version, current_timestamp from write_lock;

alter table signal add column raised_version bigint default 0 not null;
alter table signal add column withdrawn_version bigint;
comment on column signal.raised_version is 'version of the chart''s lock when it was raised, 0 for those from before this was noted; a count';
comment on column signal.withdrawn_version is 'version of the chart''s lock when it was withdrawn; a count';
update signal set withdrawn_version = 0 where withdrawn_at is not null;
