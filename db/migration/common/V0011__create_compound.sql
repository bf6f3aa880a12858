-- What a compound does under heat, in revisions, and the cure-meter curves it was found from.

create table cure_meter_curve (
  id               bigint          not null,
  compound_id      bigint          not null,
  fact_key         varchar(64)     not null,
  temperature      numeric(18, 9)  not null,
  temperature_unit varchar(30)     not null,
  time_unit        varchar(30)     not null,
  times            varchar(110000) not null,
  torque_unit      varchar(30)     not null,
  torques          varchar(110000) not null,
  lot              varchar(40)     not null,
  measured_at      timestamp(6) with time zone not null,
  source           varchar(500)    not null,
  ml               double precision not null,
  mh               double precision,
  ts1              double precision,
  ts2              double precision,
  tc10             double precision,
  tc50             double precision,
  tc90             double precision,
  reversion        double precision,
  marching         boolean         not null,
  posted_by        varchar(80)     not null,
  recorded_at      timestamp(6) with time zone not null,
  constraint pk_cure_meter_curve primary key (id),
  constraint uq_cure_meter_curve_key unique (posted_by, fact_key),
  constraint fk_cure_meter_curve_compound foreign key (compound_id) references component (id),
  constraint ck_cure_meter_curve_mh check (mh > ml),
  constraint ck_cure_meter_curve_risen check ((mh is null) = (tc90 is null))
);
comment on table cure_meter_curve is 'torque of a compound over time at one temperature; never edited';
comment on column cure_meter_curve.temperature is 'of the test, in temperature_unit';
comment on column cure_meter_curve.times is 'of the points, in time_unit, blanks between';
comment on column cure_meter_curve.torques is 'of the points, in torque_unit, blanks between';
comment on column cure_meter_curve.ml is 'lowest torque, in dN.m';
comment on column cure_meter_curve.mh is 'highest torque behind the lowest, in dN.m; null where it never rises';
comment on column cure_meter_curve.ts1 is 'time to ml + 1 dN.m, in minutes; null where it is not reached';
comment on column cure_meter_curve.ts2 is 'time to ml + 2 dN.m, in minutes; null where it is not reached';
comment on column cure_meter_curve.tc10 is 'time to 10 % of mh - ml, in minutes; null where the torque never rises';
comment on column cure_meter_curve.tc50 is 'time to 50 % of mh - ml, in minutes; null where the torque never rises';
comment on column cure_meter_curve.tc90 is 'time to 90 % of mh - ml, in minutes; null where the torque never rises';
comment on column cure_meter_curve.reversion is 'of mh - ml lost at the last point, in percent; null where the torque never rises';
create index ix_cure_meter_curve_compound on cure_meter_curve (compound_id, measured_at, id);

create table kinetics (
  id                           bigint           not null,
  compound_id                  bigint           not null,
  revision                     integer          not null,
  fact_key                     varchar(64)      not null,
  law                          varchar(30)      not null,
  reference_temperature        numeric(18, 9)   not null,
  reference_temperature_unit   varchar(30)      not null,
  activation_energy            numeric(18, 9),
  activation_energy_unit       varchar(30),
  uncertainty                  numeric(18, 9),
  uncertainty_unit             varchar(30),
  energy                       double precision,
  energy_error                 double precision,
  factor                       numeric(18, 9),
  per                          numeric(18, 9),
  per_unit                     varchar(30),
  induction                    numeric(18, 9),
  induction_unit               varchar(30),
  t90                          numeric(18, 9),
  t90_unit                     varchar(30),
  diffusivity                  numeric(18, 9)   not null,
  diffusivity_unit             varchar(30)      not null,
  diffusivity_uncertainty      numeric(18, 9)   not null,
  diffusivity_uncertainty_unit varchar(30)      not null,
  conductivity                 numeric(18, 9)   not null,
  conductivity_unit            varchar(30)      not null,
  lowest                       numeric(18, 9),
  highest                      numeric(18, 9),
  range_unit                   varchar(30),
  source                       varchar(500)     not null,
  person                       varchar(80)      not null,
  recorded_at                  timestamp(6) with time zone not null,
  constraint pk_kinetics primary key (id),
  constraint uq_kinetics_revision unique (compound_id, revision),
  constraint uq_kinetics_key unique (person, fact_key),
  constraint fk_kinetics_compound foreign key (compound_id) references component (id),
  constraint ck_kinetics_revision check (revision > 0),
  constraint ck_kinetics_law check (law in ('ARRHENIUS', 'TEMPERATURE_COEFFICIENT')),
  constraint ck_kinetics_arrhenius check ((law = 'ARRHENIUS') = (energy is not null)),
  constraint ck_kinetics_coefficient check ((law = 'TEMPERATURE_COEFFICIENT') = (factor is not null)),
  constraint ck_kinetics_factor check ((factor is null) = (per is null) and factor > 1 and per > 0),
  constraint ck_kinetics_energy check (energy > 0 and energy_error >= 0),
  constraint ck_kinetics_first_order check ((induction is null) = (t90 is null) and induction >= 0 and t90 > 0),
  constraint ck_kinetics_diffusivity check (diffusivity > 0 and diffusivity_uncertainty > 0),
  constraint ck_kinetics_conductivity check (conductivity > 0),
  constraint ck_kinetics_range check ((lowest is null) = (highest is null) and lowest < highest)
);
comment on table kinetics is 'how fast a compound cures and how heat passes through it, in revisions; a revision is never edited';
comment on column kinetics.revision is 'counted from 1 within the compound';
comment on column kinetics.reference_temperature is 'temperature whose minutes are counted, in reference_temperature_unit';
comment on column kinetics.activation_energy is 'as stated, in activation_energy_unit; null where found from cure times';
comment on column kinetics.uncertainty is 'standard uncertainty of the energy as stated, in uncertainty_unit';
comment on column kinetics.energy is 'activation energy used, in J/mol; null under a temperature coefficient';
comment on column kinetics.energy_error is 'standard uncertainty of energy, in J/mol; null where none is known';
comment on column kinetics.factor is 'how many times faster the cure is for every per; a ratio';
comment on column kinetics.per is 'temperature difference of one factor, in per_unit';
comment on column kinetics.induction is 'until the cure begins at the reference temperature, in induction_unit';
comment on column kinetics.t90 is 'to 90 % of the cure at the reference temperature, in t90_unit';
comment on column kinetics.diffusivity is 'thermal diffusivity, in diffusivity_unit';
comment on column kinetics.diffusivity_uncertainty is 'relative standard uncertainty of it, in diffusivity_uncertainty_unit';
comment on column kinetics.conductivity is 'thermal conductivity, in conductivity_unit';
comment on column kinetics.lowest is 'lowest temperature the kinetics hold for, in range_unit';
comment on column kinetics.highest is 'highest temperature the kinetics hold for, in range_unit';

create table kinetics_cure_time (
  kinetics_id      bigint   not null,
  place            smallint not null,
  curve_id         bigint,
  temperature      numeric(18, 9),
  temperature_unit varchar(30),
  t90              numeric(18, 9),
  t90_unit         varchar(30),
  constraint pk_kinetics_cure_time primary key (kinetics_id, place),
  constraint fk_kinetics_cure_time_kinetics foreign key (kinetics_id) references kinetics (id),
  constraint fk_kinetics_cure_time_curve foreign key (curve_id) references cure_meter_curve (id),
  constraint ck_kinetics_cure_time_one check (
    (curve_id is null) = (t90 is not null) and (t90 is null) = (temperature is null)),
  constraint ck_kinetics_cure_time_t90 check (t90 > 0)
);
comment on table kinetics_cure_time is 'what an activation energy was found from: a stated cure time, or the tc90 of a curve';
comment on column kinetics_cure_time.place is 'in the order of the request, counted from 0';
comment on column kinetics_cure_time.temperature is 'of the cure time, in temperature_unit';
comment on column kinetics_cure_time.t90 is 'to 90 % of the cure, in t90_unit';
