-- A check of an instrument that was recorded wrongly is voided by a later fact; each check keeps what its readings came to, and is in the audit list.

create table check_voiding (
  check_id    bigint       not null,
  fact_key    varchar(64)  not null,
  reason      varchar(500) not null,
  person      varchar(80)  not null,
  recorded_at timestamp(6) with time zone not null,
  constraint pk_check_voiding primary key (check_id),
  constraint uq_check_voiding_key unique (person, fact_key),
  constraint fk_check_voiding_check foreign key (check_id) references instrument_check (id)
);
comment on table check_voiding is 'that a check of an instrument says nothing, since it was recorded wrongly; the check stays on record';

create table doubt_effect (
  check_id   bigint  not null,
  by_voiding boolean not null,
  done       bigint  not null,
  changed    bigint  not null,
  suspect    bigint  not null,
  constraint pk_doubt_effect primary key (check_id, by_voiding),
  constraint fk_doubt_effect_check foreign key (check_id) references instrument_check (id)
);
comment on table doubt_effect is 'how many readings a check, or the voiding of a check, has made follow its doubts';
comment on column doubt_effect.by_voiding is 'whether the voiding of the check did it, not the check';
comment on column doubt_effect.done is 'readings looked at so far; a count';
comment on column doubt_effect.changed is 'readings that were taken out of the figures or back in so far; a count';
comment on column doubt_effect.suspect is 'readings that were suspect when they were looked at; a count';

alter table instrument_revision add column judged_again bigint;
comment on column instrument_revision.judged_again is 'readings judged again because of it; absent where an earlier schema did not keep it; a count';

create index ix_audit_entry_subject_time on audit_entry (subject, at, id);
