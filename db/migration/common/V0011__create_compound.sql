-- What compounds do under heat, in revisions, and the cure-meter curves it was found from.

create table cure_meter_curve (
  id               bigint         not null,
  component_id     bigint         not null,
  fact_key         varchar(64)    not null,
  temperature      numeric(18, 9) not null,
  temperature_unit varchar(30)    not null,
  lot              varchar(40),
  measured_at      timestamp(6) with time zone not null,
  source           varchar(200)   not null,
  points           varchar(200000) not null,
  posted_by        varchar(80)    not null,
  recorded_at      timestamp(6) with time zone not null,
  constraint pk_cure_meter_curve primary key (id),
  constraint uq_cure_meter_curve_key unique (posted_by, fact_key),
  constraint fk_cure_meter_curve_component foreign key (component_id) references component (id)
);
comment on table cure_meter_curve is 'torque of a compound over time at one temperature';
comment on column cure_meter_curve.temperature is 'of the dies, in temperature_unit';
comment on column cure_meter_curve.points is 'minutes and dN.m in turn, as JSON; read and written whole';
create index ix_cure_meter_curve_component on cure_meter_curve (component_id, measured_at);

create table kinetics (
  id                      bigint         not null,
  component_id            bigint         not null,
  revision                integer        not null,
  fact_key                varchar(64)    not null,
  law                     varchar(24)    not null,
  energy                  double precision,
  energy_error            double precision not null,
  factor                  numeric(18, 9),
  factor_per              double precision,
  reference               double precision not null,
  induction               numeric(18, 9),
  t90                     numeric(18, 9),
  diffusivity             double precision not null,
  diffusivity_error       numeric(18, 9) not null,
  conductivity            double precision not null,
  document                varchar(20000) not null,
  source                  varchar(500)   not null,
  person                  varchar(80)    not null,
  recorded_at             timestamp(6) with time zone not null,
  constraint pk_kinetics primary key (id),
  constraint uq_kinetics_revision unique (component_id, revision),
  constraint uq_kinetics_key unique (component_id, person, fact_key),
  constraint fk_kinetics_component foreign key (component_id) references component (id),
  constraint ck_kinetics_law check (law in ('ARRHENIUS', 'TEMPERATURE_COEFFICIENT')),
  constraint ck_kinetics_arrhenius check (law <> 'ARRHENIUS' or energy > 0),
  constraint ck_kinetics_coefficient check (law <> 'TEMPERATURE_COEFFICIENT' or (factor > 1 and factor_per > 0)),
  constraint ck_kinetics_diffusivity check (diffusivity > 0),
  constraint ck_kinetics_conductivity check (conductivity > 0)
);
comment on table kinetics is 'how fast a compound cures and how heat passes through it; a revision is never edited';
comment on column kinetics.energy is 'activation energy, in J/mol';
comment on column kinetics.energy_error is 'standard uncertainty of it, in J/mol';
comment on column kinetics.factor is 'how many times faster the cure is for each step of factor_per; a ratio';
comment on column kinetics.factor_per is 'step of the temperature coefficient, in kelvin';
comment on column kinetics.reference is 'temperature whose minutes are counted, in degrees Celsius';
comment on column kinetics.induction is 'until the cure begins, in minutes at the reference temperature';
comment on column kinetics.t90 is 'to 90 per cent, in minutes at the reference temperature';
comment on column kinetics.diffusivity is 'thermal diffusivity, in m2/s';
comment on column kinetics.diffusivity_error is 'relative standard uncertainty of it, in per cent';
comment on column kinetics.conductivity is 'thermal conductivity, in W/(m K)';
comment on column kinetics.document is 'what was sent, as JSON, with the decimals and units it was sent in';
