ALTER TABLE notices ADD COLUMN because TEXT;
ALTER TABLE messages ADD COLUMN first_attempt_at TEXT;
ALTER TABLE warranties ADD COLUMN plan_again BOOLEAN NOT NULL DEFAULT TRUE;
CREATE INDEX warranties_to_plan ON warranties (vehicle_id, id) WHERE plan_again;
