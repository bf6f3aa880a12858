-- Rules of any published set, rules of the plant's own, charts with memory, and what studies of a row use
-- where nobody asks for something else.

alter table chart add column estimator varchar(16);
alter table chart add column confidence double precision default 0.95 not null;
alter table chart add column ewma_weight double precision;
alter table chart add column ewma_reach double precision;
alter table chart add column cusum_allowance double precision;
alter table chart add column cusum_decision double precision;
alter table chart alter column rules set data type varchar(400);
alter table chart drop constraint ck_chart_kind;
alter table chart add constraint ck_chart_kind
  check (kind in ('XBAR_R', 'XBAR_S', 'INDIVIDUALS', 'BETWEEN_WITHIN'));
alter table chart add constraint ck_chart_confidence check (confidence between 0.5 and 0.999);
comment on column chart.estimator is 'how sigma is estimated where nobody asks otherwise; absent: the usual way of the kind';
comment on column chart.confidence is 'of intervals where nobody asks otherwise; a share';
comment on column chart.ewma_weight is 'weight of the newest point in the average that is watched; a share, absent: none is watched';
comment on column chart.ewma_reach is 'distance of its limits; in sigma of the average';
comment on column chart.cusum_allowance is 'half the shift that the watched sums are to find; in sigma of a point, absent: none are watched';
comment on column chart.cusum_decision is 'decision value of the sums; in sigma of a point';

create table own_rule (
  chart_id       bigint           not null,
  place          integer          not null,
  code           varchar(24)      not null,
  needed         integer          not null,
  looked_at      integer          not null,
  zone           double precision not null,
  on_line_counts boolean          not null,
  side           varchar(5),
  constraint pk_own_rule primary key (chart_id, place),
  constraint fk_own_rule_chart foreign key (chart_id) references chart (id),
  constraint ck_own_rule_needed check (needed between 1 and looked_at),
  constraint ck_own_rule_side check (side in ('ABOVE', 'BELOW'))
);
comment on table own_rule is 'zone rules that the plant wrote itself for a row of the control plan';
comment on column own_rule.place is 'order within the row, from 0; a count';
comment on column own_rule.needed is 'points that must count; a count';
comment on column own_rule.looked_at is 'points looked at; a count';
comment on column own_rule.zone is 'distance from the centre line; in sigma of a point';
comment on column own_rule.side is 'the one half judged; absent: each half by itself';

alter table signal alter column side drop not null;
comment on column signal.side is 'the half of the chart it lies in, or towards which a trend moves; absent for rules that look at both';
