-- When each shift calendar was in use, so that figures as of an earlier moment are cut into shifts as they were then.

create table shift_calendar_standing (
  shift_calendar_id bigint  not null,
  position          integer not null,
  since             timestamp(6) with time zone not null,
  until             timestamp(6) with time zone,
  constraint pk_shift_calendar_standing primary key (shift_calendar_id, position),
  constraint fk_shift_calendar_standing_shift_calendar foreign key (shift_calendar_id) references shift_calendar (id)
);
comment on table shift_calendar_standing is 'from when until when a shift calendar was in use: recorded or reinstated, retired';
comment on column shift_calendar_standing.position is 'place in time, from 0';
comment on column shift_calendar_standing.since is 'the moment it was recorded or reinstated';
comment on column shift_calendar_standing.until is 'the moment it was retired; absent while it is in use';

-- What was retired and reinstated before is taken as in use all the time between.
insert into shift_calendar_standing (shift_calendar_id, position, since, until)
select c.id, 0, coalesce((select min(a.at) from audit_entry a where a.subject = 'shift calendar' and a.code = c.code),
  timestamp with time zone '1970-01-01 00:00:00+00'), c.retired_at
from shift_calendar c;
