-- A press has a lock whose versions say when each of its cures and verdicts was recorded, so that rates of
-- cures can be given as of a moment; and cures are found by when they were closed.

alter table cure add column lock_version bigint default 1 not null;
comment on column cure.lock_version is 'version of the lock of the press under which it was recorded, 1 for those from before this was noted; a count';

alter table cure_verdict add column lock_version bigint default 1 not null;
comment on column cure_verdict.lock_version is 'version of the lock of the press under which it was reached, 1 for those from before this was noted; a count';

comment on table write_lock is 'taken by whoever writes readings of a chart, or of a characteristic outside any chart, or cures and verdicts of a press; referenced by nothing';

-- A press without cures begins at 0, and nothing can be missing before it; of one with cures nothing is known as of
-- an earlier moment.
insert into write_lock (id, version)
  select p.id, case when exists (select 1 from cure c where c.press_id = p.id) then 1 else 0 end from press p;
insert into lock_moment (lock_id, version, taken_at)
  select w.id, w.version, current_timestamp from write_lock w join press p on p.id = w.id;

create index ix_cure_press_closed on cure (press_id, closed_at, id);
