-- Readings of one sample are one point, however many of them count.

alter table reading add column sample varchar(40);
comment on column reading.sample is 'name of the sample it was taken in; readings of one name, shift, stratum and unit are one point';

alter table signal add column readings integer;
comment on column signal.readings is 'readings of the completing point when raised, where it is a sample; absent where it was cut by count; a count';
alter table signal_to_come add column readings integer;
comment on column signal_to_come.readings is 'readings of the completing point, where it is a sample; absent where it was cut by count; a count';
