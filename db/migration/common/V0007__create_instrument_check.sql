-- Checks of instruments against known standards, and the doubts that follow from failed ones.

create table instrument_check (
  id                     bigint          not null,
  instrument_id          bigint          not null,
  fact_key               varchar(64)     not null,
  checked_at             timestamp(6) with time zone not null,
  recorded_at            timestamp(6) with time zone not null,
  standard               varchar(80)     not null,
  certificate            varchar(80)     not null,
  standard_value         numeric(18, 9)  not null,
  unit                   varchar(30)     not null,
  as_found               varchar(440),
  as_left                varchar(440),
  on_verification        boolean         not null,
  permissible_error      numeric(20, 10) not null,
  permissible_error_unit varchar(30)     not null,
  limit_from             varchar(80)     not null,
  as_found_result        varchar(4),
  as_left_result         varchar(4),
  note                   varchar(500),
  posted_by              varchar(80)     not null,
  constraint pk_instrument_check primary key (id),
  constraint uq_instrument_check_key unique (posted_by, fact_key),
  constraint fk_instrument_check_instrument foreign key (instrument_id) references instrument (id),
  constraint ck_instrument_check_measured check (as_found is not null or as_left is not null),
  constraint ck_instrument_check_permissible_error check (permissible_error > 0),
  constraint ck_instrument_check_as_found_judged check ((as_found is null) = (as_found_result is null)),
  constraint ck_instrument_check_as_left_judged check ((as_left is null) = (as_left_result is null)),
  constraint ck_instrument_check_as_found_result check (as_found_result in ('PASS', 'FAIL')),
  constraint ck_instrument_check_as_left_result check (as_left_result in ('PASS', 'FAIL'))
);
comment on table instrument_check is 'an instrument measuring a known standard, as found and as left';
comment on column instrument_check.standard_value is 'certified value of the standard, in unit';
comment on column instrument_check.as_found is 'indications before adjusting, in the instrument''s unit, blanks between';
comment on column instrument_check.as_left is 'indications after adjusting, in the instrument''s unit, blanks between';
comment on column instrument_check.permissible_error is 'limit of error used, plus and minus, in permissible_error_unit';
create index ix_instrument_check_instrument on instrument_check (instrument_id, checked_at, id);
create index ix_instrument_check_checked on instrument_check (checked_at, id);

create table doubt (
  failed_check_id bigint not null,
  instrument_id   bigint not null,
  suspect_from    timestamp(6) with time zone not null,
  failed_at       timestamp(6) with time zone not null,
  right_check_id  bigint,
  right_at        timestamp(6) with time zone,
  constraint pk_doubt primary key (failed_check_id),
  constraint fk_doubt_failed_check foreign key (failed_check_id) references instrument_check (id),
  constraint fk_doubt_right_check foreign key (right_check_id) references instrument_check (id),
  constraint fk_doubt_instrument foreign key (instrument_id) references instrument (id),
  constraint ck_doubt_put_right check ((right_check_id is null) = (right_at is null))
);
comment on table doubt is 'from the last good check to the failed one readings are suspect; from there until put right they are not judged; derived from checks and rebuildable';
create index ix_doubt_instrument on doubt (instrument_id, failed_at);

create table known_right (
  instrument_id bigint not null,
  right_at      timestamp(6) with time zone not null,
  constraint pk_known_right primary key (instrument_id),
  constraint fk_known_right_instrument foreign key (instrument_id) references instrument (id)
);
comment on table known_right is 'when each instrument was last known to be right; derived from checks and rebuildable';
