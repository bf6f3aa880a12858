-- A schedule whose own targets, met exactly, would not be judged good is recorded only with a person's reason, which stays with the revision.

alter table cure_schedule_revision add column doubt_reason varchar(500);
comment on column cure_schedule_revision.doubt_reason is 'why it was recorded though a load that meets its own targets exactly is not judged good; absent where such a load is, and of revisions recorded by an earlier schema';
