-- Whether a revision of kinetics is a trial, which every verdict that rests on it says.

alter table kinetics add column trial boolean default false not null;
