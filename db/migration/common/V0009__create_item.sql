-- Items that bear a number, registered by whoever numbers them. A reading may name an item that is
-- not registered; it is stored and marked.

create table item (
  number        varchar(40) not null,
  component_id  bigint,
  product_id    bigint,
  lot           varchar(40),
  made_at       timestamp(6) with time zone,
  recorded_at   timestamp(6) with time zone not null,
  registered_by varchar(80) not null,
  constraint pk_item primary key (number),
  constraint fk_item_component foreign key (component_id) references component (id),
  constraint fk_item_product foreign key (product_id) references product (id),
  constraint ck_item_of_one_thing check (
    (component_id is null and product_id is not null) or (component_id is not null and product_id is null))
);
comment on table item is 'a thing with a number: a green tyre, a tyre, a roll';
