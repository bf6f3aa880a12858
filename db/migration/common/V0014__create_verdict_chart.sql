-- Which figure of cure verdicts becomes readings of which characteristic.

create table verdict_chart (
  press_id          bigint      not null,
  figure            varchar(24) not null,
  characteristic_id bigint      not null,
  person            varchar(80) not null,
  recorded_at       timestamp(6) with time zone not null,
  constraint pk_verdict_chart primary key (press_id, figure),
  constraint fk_verdict_chart_press foreign key (press_id) references press (id),
  constraint fk_verdict_chart_characteristic foreign key (characteristic_id) references characteristic (id),
  constraint ck_verdict_chart_figure check (figure in ('SLOWEST_TO_RELEASE', 'SLOWEST_TO_OPENING', 'SOAK',
    'DOME_DEPRESSION', 'INSIDE_OUTSIDE', 'COOLING'))
);
comment on table verdict_chart is 'a figure of every verdict on a press, taken as readings of a characteristic, the cavity as their die';
create index ix_verdict_chart_characteristic on verdict_chart (characteristic_id);
