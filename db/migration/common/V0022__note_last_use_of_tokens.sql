-- When each token was last taken, so that those that no person or device uses any more are seen and revoked.

alter table access_token add column last_used_at timestamp(6) with time zone;
comment on column access_token.last_used_at is 'the last minute in which a copy of the service took it; absent if it was not used since this column exists';
