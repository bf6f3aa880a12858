-- By which rule a verdict held what it found against a limit of the schedule.

alter table cure_reason add column rule varchar(16);
alter table cure_reason add constraint ck_cure_reason_rule
  check (rule in ('COURSE', 'MARKS', 'WORST_MINUTE', 'INTERVAL'));
