-- By which revision of the methods a kept study was computed, so that a change of a method is not taken for one of the record.

alter table kept_study add column method_revision integer default 1 not null;
comment on column kept_study.method_revision is 'revision of the methods of figures it was computed by; a count';
create index ix_kept_study_method on kept_study (method_revision, id);
