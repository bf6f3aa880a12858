-- Summaries of whole shifts and months of a chart, kept so that a figure over a year costs no more than one over a
-- week. All of it is derived from readings and can be built again at any time.

alter table write_lock add column summed_before timestamp(6) with time zone;
alter table write_lock add column summed_by varchar(64);
comment on column write_lock.summed_before is 'of a chart: shifts that end no later have a segment, or hold no reading; absent where none is built';
comment on column write_lock.summed_by is 'of a chart: digest of the shift calendars its segments were cut by';

create table segment (
  chart_id        bigint      not null,
  span            varchar(5)  not null,
  starts          timestamp(6) with time zone not null,
  ends            timestamp(6) with time zone not null,
  stale           boolean     not null,
  changed_version bigint,
  content         bytea,
  constraint pk_segment primary key (chart_id, span, starts),
  constraint fk_segment_chart foreign key (chart_id) references chart (id),
  constraint ck_segment_span check (span in ('SHIFT', 'MONTH')),
  constraint ck_segment_stale check (stale = (content is null))
);
comment on table segment is 'what the readings of a chart in a whole shift or month come to; derived, and stale where a later fact touched them';
comment on column segment.starts is 'first moment of the shift, or of the first shift of the month';
comment on column segment.ends is 'first moment behind it';
comment on column segment.changed_version is 'version of the chart''s lock of the last fact in it; a count';
comment on column segment.content is 'the summary, packed; absent while stale';
create index ix_segment_stale on segment (stale, chart_id);
