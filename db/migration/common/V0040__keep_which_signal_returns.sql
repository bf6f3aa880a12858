-- A signal that a later fact withdrew and another brought back is the same signal: what was found and done holds for it.

alter table signal add column origin_id bigint;
comment on column signal.origin_id is 'the first of the signals that are one; absent, or the signal itself, where it is the first; responses are kept with it; an id';
comment on column response.signal_id is 'the first of the signals that are one; an id';
