-- Readings of one sample are one point, however many of them count.

alter table reading add column sample varchar(40);
comment on column reading.sample is 'name of the sample it was taken in; readings of one name, shift, stratum and unit are one point';

alter table signal add column readings integer;
alter table signal add column first_by bigint;
comment on column signal.first_by is 'the reading under which the sample signalled first, by which its signals count as one point; absent where the point was cut by count';
comment on column signal.readings is 'readings of the completing point when raised, where it is a sample; absent where it was cut by count; a count';
alter table signal_to_come add column readings integer;
alter table signal_to_come add column first_by bigint;
comment on column signal_to_come.first_by is 'the reading under which the sample signalled first; absent where the point was cut by count';
comment on column signal_to_come.readings is 'readings of the completing point, where it is a sample; absent where it was cut by count; a count';
