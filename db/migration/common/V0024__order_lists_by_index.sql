-- The signals of a chart and the changes of one thing are listed by time and id, from an index.
create index ix_signal_chart_time on signal (chart_id, completed_at, id);
create index ix_audit_entry_code_time on audit_entry (code, at, id);
drop index ix_signal_chart;
drop index ix_audit_entry_code;
