-- Long work that follows a request is done in pieces, and all that it wrote counts from one moment on.

create table catch_up (
  id             bigint       not null,
  what           varchar(40)  not null,
  scope          bigint       not null,
  asked_by       varchar(80)  not null,
  task           varchar(400) not null,
  place          varchar(200),
  total          bigint,
  done           bigint       not null,
  changed        bigint       not null,
  recorded_at    timestamp(6) with time zone not null,
  started_at     timestamp(6) with time zone,
  last_piece_at  timestamp(6) with time zone,
  finished_at    timestamp(6) with time zone,
  version        bigint,
  constraint pk_catch_up primary key (id),
  constraint ck_catch_up_finished check ((finished_at is null) = (version is null)),
  constraint ck_catch_up_pieces_first check (finished_at is null or last_piece_at is not null)
);
comment on table catch_up is 'long work that follows a request, in pieces; what it wrote counts from the version on that it finished with';
comment on column catch_up.what is 'kind of work';
comment on column catch_up.scope is 'id of the thing worked on; one catch-up at a time for each';
comment on column catch_up.asked_by is 'the fact that asked for it';
comment on column catch_up.place is 'where the next piece begins; absent before the first and after the last';
comment on column catch_up.total is 'rows to look at, counted at the start; a count';
comment on column catch_up.done is 'rows looked at so far; a count';
comment on column catch_up.changed is 'rows written so far; a count';
comment on column catch_up.last_piece_at is 'when its last piece was done; it finishes together with all others of its scope';
comment on column catch_up.version is 'version of every write lock concerned from which on it counts; a count';
create index ix_catch_up_scope on catch_up (what, scope, id);

alter table successor_result alter column lock_version drop not null;
alter table successor_result add column catch_up_id bigint;
alter table successor_result add constraint fk_successor_result_catch_up foreign key (catch_up_id) references catch_up (id);
alter table successor_result add constraint ck_successor_result_version check ((catch_up_id is null) = (lock_version is not null));
comment on column successor_result.lock_version is 'version of the write lock it was written under; absent where its catch-up has the version; a count';
