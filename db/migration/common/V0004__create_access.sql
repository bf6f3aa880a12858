-- Tokens and the audit list. A token itself is never stored, only its SHA-256.

create table access_token (
  id          bigint      not null,
  name        varchar(80) not null,
  kind        varchar(8)  not null,
  role        varchar(8)  not null,
  station_id  bigint,
  sha256      char(64)    not null,
  created_at  timestamp(6) with time zone not null,
  created_by  varchar(80) not null,
  expires_at  timestamp(6) with time zone not null,
  revoked_at  timestamp(6) with time zone,
  revoked_by  varchar(80),
  row_version integer     not null,
  constraint pk_access_token primary key (id),
  constraint uq_access_token_sha256 unique (sha256),
  constraint fk_access_token_station foreign key (station_id) references station (id),
  constraint ck_access_token_kind check (kind in ('STATION', 'PERSON', 'SYSTEM')),
  constraint ck_access_token_role check (role in ('STATION', 'READER', 'QUALITY', 'ADMIN')),
  constraint ck_access_token_station check (kind <> 'STATION' or station_id is not null)
);
comment on table access_token is 'who may do what; a token is kept as the SHA-256 of its 256 random bits';

create table audit_entry (
  id         bigint        not null,
  at         timestamp(6) with time zone not null,
  actor      varchar(80)   not null,
  actor_kind varchar(8)    not null,
  action     varchar(20)   not null,
  subject    varchar(40)   not null,
  code       varchar(120)  not null,
  detail     varchar(4000) not null,
  constraint pk_audit_entry primary key (id)
);
comment on table audit_entry is 'every change of plant, specification, control plan, limit set and token';
create index ix_audit_entry_at on audit_entry (at, id);
create index ix_audit_entry_code on audit_entry (code, at);
