-- A limit set that was frozen wrongly is withdrawn by a later fact: it stays on record and judges nothing, and another set may begin at its moment.

create table limit_set_withdrawal (
  limit_set_id bigint       not null,
  fact_key     varchar(64)  not null,
  reason       varchar(500) not null,
  person       varchar(80)  not null,
  recorded_at  timestamp(6) with time zone not null,
  lock_version bigint       not null,
  constraint pk_limit_set_withdrawal primary key (limit_set_id),
  constraint uq_limit_set_withdrawal_key unique (person, fact_key),
  constraint fk_limit_set_withdrawal_limit_set foreign key (limit_set_id) references limit_set (id)
);
comment on table limit_set_withdrawal is 'that a limit set judges nothing, since it was frozen wrongly';
comment on column limit_set_withdrawal.lock_version is 'version of the chart''s lock when it was withdrawn; a count';

create index ix_limit_set_chart on limit_set (chart_id, in_force_from);
alter table limit_set drop constraint uq_limit_set_in_force;
