-- What is measured, and the limits it is judged by, in dated revisions that are never edited.

create table characteristic (
  id           bigint       not null,
  code         varchar(40)  not null,
  name         varchar(120) not null,
  component_id bigint,
  product_id   bigint,
  kind         varchar(12)  not null,
  unit         varchar(30)  not null,
  bounded      varchar(12)  not null,
  special      boolean      not null,
  retired_at   timestamp(6) with time zone,
  row_version  integer      not null,
  constraint pk_characteristic primary key (id),
  constraint uq_characteristic_code unique (code),
  constraint fk_characteristic_component foreign key (component_id) references component (id),
  constraint fk_characteristic_product foreign key (product_id) references product (id),
  constraint ck_characteristic_kind check (kind in ('MEASURED', 'COUNTED')),
  constraint ck_characteristic_bounded check (bounded in ('NOT', 'BELOW_AT_0', 'ABOVE_AT_100')),
  constraint ck_characteristic_of_one_thing check (
    (component_id is null and product_id is not null) or (component_id is not null and product_id is null))
);
comment on table characteristic is 'what is measured or counted on a component or a product';
comment on column characteristic.unit is 'the unit its charts are drawn in, as a UCUM code';

create table specification (
  id                bigint         not null,
  characteristic_id bigint         not null,
  revision          integer        not null,
  valid_from        timestamp(6) with time zone not null,
  valid_before      timestamp(6) with time zone,
  target            numeric(18, 9),
  lower_limit       numeric(18, 9),
  upper_limit       numeric(18, 9),
  unit              varchar(30)    not null,
  decimals          smallint       not null,
  rounding_interval numeric(18, 9),
  reason            varchar(500)   not null,
  person            varchar(80)    not null,
  recorded_at       timestamp(6) with time zone not null,
  withdrawn_at      timestamp(6) with time zone,
  withdrawn_by      varchar(80),
  withdrawn_reason  varchar(500),
  row_version       integer        not null,
  constraint pk_specification primary key (id),
  constraint uq_specification_revision unique (characteristic_id, revision),
  constraint fk_specification_characteristic foreign key (characteristic_id) references characteristic (id),
  constraint ck_specification_has_limit check (lower_limit is not null or upper_limit is not null),
  constraint ck_specification_limits_in_order check (lower_limit <= upper_limit),
  constraint ck_specification_target_above_lower check (target >= lower_limit),
  constraint ck_specification_target_below_upper check (target <= upper_limit),
  constraint ck_specification_dates_in_order check (valid_before > valid_from),
  constraint ck_specification_rounding_positive check (rounding_interval > 0)
);
comment on table specification is 'target and limits of a characteristic, in the unit they were written in';
comment on column specification.revision is 'counted from 1 within the characteristic';
comment on column specification.target is 'in the unit of the revision';
comment on column specification.lower_limit is 'inclusive, in the unit of the revision';
comment on column specification.upper_limit is 'inclusive, in the unit of the revision';
comment on column specification.decimals is 'decimals the limits were written with; a count';
comment on column specification.rounding_interval is 'rounding method: readings are rounded half-even to this, in the unit of the revision; absent: absolute method';
