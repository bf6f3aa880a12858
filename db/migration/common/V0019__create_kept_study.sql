-- Capability studies that somebody keeps: the question, the state of the record it was asked of, the answer.

create table kept_study (
  id           bigint       not null,
  code         varchar(40)  not null,
  fact_key     varchar(64)  not null,
  chart_id     bigint       not null,
  question     varchar(2000)    not null,
  lock_version bigint       not null,
  as_of        timestamp(6) with time zone not null,
  answer       varchar(1000000) not null,
  digest       varchar(64)  not null,
  reason       varchar(500) not null,
  person       varchar(80)  not null,
  recorded_at  timestamp(6) with time zone not null,
  constraint pk_kept_study primary key (id),
  constraint uq_kept_study_code unique (code),
  constraint uq_kept_study_key unique (person, fact_key),
  constraint fk_kept_study_chart foreign key (chart_id) references chart (id)
);
comment on table kept_study is 'a capability study as it was answered, and what it takes to compute it again';
comment on column kept_study.question is 'what was asked, as JSON';
comment on column kept_study.lock_version is 'version of the chart''s lock as of which it was answered; a count';
comment on column kept_study.as_of is 'masters and responses recorded by then went in';
comment on column kept_study.answer is 'the answer, as JSON';
comment on column kept_study.digest is 'SHA-256 of the answer in UTF-8, hexadecimal';
create index ix_kept_study_chart on kept_study (chart_id, recorded_at);
