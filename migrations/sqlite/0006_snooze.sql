-- Until when a member put a reminder off. It goes out then and is not late; the time it was meant for stays in due_ms.
alter table reminders add column snoozed_ms integer;
