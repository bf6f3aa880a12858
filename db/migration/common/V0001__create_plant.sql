-- The plant: lines, stations and instruments, components and products, the dated shift calendar.
-- Nothing here is deleted; what is no longer used is retired and keeps its history.

create sequence master_seq start with 1 increment by 50;
create sequence fact_seq start with 1 increment by 1000;

create table master_version (
  id      smallint not null,
  version bigint   not null,
  constraint pk_master_version primary key (id),
  constraint ck_master_version_one_row check (id = 1)
);
comment on table master_version is 'one row; grows with each change of plant, specification or control plan';
comment on column master_version.version is 'compared by copies of the service to know whether what they hold is current; a count';
insert into master_version (id, version) values (1, 1);

create table write_lock (
  id      bigint not null,
  version bigint not null,
  constraint pk_write_lock primary key (id)
);
comment on table write_lock is 'taken by whoever writes readings of a chart, or of a characteristic outside any chart; referenced by nothing';
comment on column write_lock.version is 'grows with each write; what is written keeps it, so that a figure as of then can be told again; a count';

create table line (
  id          bigint       not null,
  code        varchar(40)  not null,
  name        varchar(120) not null,
  kind        varchar(24)  not null,
  retired_at  timestamp(6) with time zone,
  row_version integer      not null,
  constraint pk_line primary key (id),
  constraint uq_line_code unique (code),
  constraint ck_line_kind check (kind in ('MIXING', 'CALENDERING', 'BIAS_CUTTING', 'BEAD_WINDING',
    'TREAD_EXTRUSION', 'BUILDING', 'CURING', 'FINISHING', 'LABORATORY', 'ENDURANCE', 'ROAD_TEST'))
);
comment on table line is 'where a kind of work is done';

create table station (
  id          bigint       not null,
  code        varchar(40)  not null,
  name        varchar(120) not null,
  line_id     bigint       not null,
  retired_at  timestamp(6) with time zone,
  row_version integer      not null,
  constraint pk_station primary key (id),
  constraint uq_station_code unique (code),
  constraint fk_station_line foreign key (line_id) references line (id)
);
comment on table station is 'one measuring place on a line';

create table station_lock (
  station_id bigint not null,
  version    bigint not null,
  constraint pk_station_lock primary key (station_id)
);
comment on table station_lock is 'taken by whoever writes facts of a station; referenced by nothing';
comment on column station_lock.version is 'grows with each write; a count';

create table instrument (
  id                    bigint         not null,
  code                  varchar(40)    not null,
  name                  varchar(120)   not null,
  station_id            bigint         not null,
  kind                  varchar(24)    not null,
  unit                  varchar(30)    not null,
  capacity              numeric(18, 9),
  scale_interval        numeric(18, 9),
  verification_interval numeric(18, 9),
  accuracy_class        varchar(4),
  retired_at            timestamp(6) with time zone,
  row_version           integer        not null,
  constraint pk_instrument primary key (id),
  constraint uq_instrument_code unique (code),
  constraint fk_instrument_station foreign key (station_id) references station (id),
  constraint ck_instrument_kind check (kind in ('SCALE', 'GAUGE', 'LENGTH_ENCODER', 'THERMOCOUPLE', 'PRESSURE_GAUGE', 'TESTER', 'COUNTER')),
  constraint ck_instrument_capacity_positive check (capacity > 0),
  constraint ck_instrument_scale_interval_positive check (scale_interval > 0),
  constraint ck_instrument_verification_interval_positive check (verification_interval > 0),
  constraint ck_instrument_accuracy_class check (accuracy_class in ('I', 'II', 'III', 'IIII'))
);
comment on table instrument is 'what measures at a station';
comment on column instrument.capacity is 'the most it can show, in its unit';
comment on column instrument.scale_interval is 'd, the step of what it shows, in its unit';
comment on column instrument.verification_interval is 'e of a scale (OIML R 76), in its unit';

create table component (
  id          bigint       not null,
  code        varchar(40)  not null,
  name        varchar(120) not null,
  kind        varchar(24)  not null,
  retired_at  timestamp(6) with time zone,
  row_version integer      not null,
  constraint pk_component primary key (id),
  constraint uq_component_code unique (code),
  constraint ck_component_kind check (kind in ('COMPOUND', 'FABRIC', 'TREAD_STRIP', 'PLY', 'BEAD', 'FLIPPER',
    'CHAFER', 'BREAKER', 'CUSHION', 'LINER', 'SIDEWALL', 'GREEN_TYRE'))
);
comment on table component is 'a coded part or stock that tyres are made of';

create table product (
  id           bigint       not null,
  code         varchar(40)  not null,
  name         varchar(120) not null,
  size         varchar(40)  not null,
  ply_rating   integer,
  construction varchar(12)  not null,
  retired_at   timestamp(6) with time zone,
  row_version  integer      not null,
  constraint pk_product primary key (id),
  constraint uq_product_code unique (code),
  constraint ck_product_ply_rating_positive check (ply_rating > 0),
  constraint ck_product_construction check (construction in ('BIAS', 'BELTED_BIAS', 'RADIAL'))
);
comment on table product is 'a tyre type';
comment on column product.ply_rating is 'ply rating; a count';

create table product_component (
  product_id   bigint  not null,
  position     integer not null,
  component_id bigint  not null,
  constraint pk_product_component primary key (product_id, position),
  constraint fk_product_component_product foreign key (product_id) references product (id),
  constraint fk_product_component_component foreign key (component_id) references component (id)
);
comment on table product_component is 'the build list: components in the order they are put on';
comment on column product_component.position is 'place in the order, from 0';

create table shift_calendar (
  id         bigint      not null,
  code       varchar(40) not null,
  name       varchar(120) not null,
  valid_from date        not null,
  zone       varchar(40) not null,
  retired_at  timestamp(6) with time zone,
  row_version integer    not null,
  constraint pk_shift_calendar primary key (id),
  constraint uq_shift_calendar_code unique (code),
  constraint uq_shift_calendar_valid_from unique (valid_from)
);
comment on table shift_calendar is 'how the plant''s days are cut into shifts, from a date on';

create table shift_calendar_shift (
  shift_calendar_id bigint      not null,
  position          integer     not null,
  name              varchar(20) not null,
  starts_at         time(0)     not null,
  constraint pk_shift_calendar_shift primary key (shift_calendar_id, position),
  constraint fk_shift_calendar_shift_calendar foreign key (shift_calendar_id) references shift_calendar (id)
);
comment on table shift_calendar_shift is 'each shift runs until the next one starts; the first opens the plant''s day';
comment on column shift_calendar_shift.position is 'place in the day, from 0';
