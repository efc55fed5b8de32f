DROP INDEX warranties_to_plan;
ALTER TABLE warranties DROP COLUMN plan_again;
ALTER TABLE messages DROP COLUMN first_attempt_at;
ALTER TABLE notices DROP COLUMN because;
