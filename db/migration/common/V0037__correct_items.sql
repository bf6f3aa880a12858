-- What was registered of an item wrongly is mended by later facts; lists of items go by when they were recorded.

create table item_correction (
  item_number  varchar(40)  not null,
  correction   integer      not null,
  component_id bigint,
  product_id   bigint,
  lot          varchar(40),
  made_at      timestamp(6) with time zone,
  fact_key     varchar(64)  not null,
  reason       varchar(500) not null,
  person       varchar(80)  not null,
  recorded_at  timestamp(6) with time zone not null,
  constraint pk_item_correction primary key (item_number, correction),
  constraint uq_item_correction_key unique (item_number, person, fact_key),
  constraint fk_item_correction_item foreign key (item_number) references item (number),
  constraint fk_item_correction_component foreign key (component_id) references component (id),
  constraint fk_item_correction_product foreign key (product_id) references product (id),
  constraint ck_item_correction_of_one_thing check (
    (component_id is null and product_id is not null) or (component_id is not null and product_id is null))
);
comment on table item_correction is 'what an item is, as a person corrected it; the last one holds';
comment on column item_correction.correction is 'counted from 1 within the item';
create index ix_item_correction_recorded on item_correction (recorded_at, item_number);
create index ix_item_recorded on item (recorded_at, number);
create index ix_item_component_recorded on item (component_id, recorded_at, number);
create index ix_item_product_recorded on item (product_id, recorded_at, number);
create index ix_item_lot_recorded on item (lot, recorded_at, number);
