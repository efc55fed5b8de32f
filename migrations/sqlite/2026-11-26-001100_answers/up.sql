-- What owners answered when they were asked to come.
CREATE TABLE answers (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    warranty_id BLOB NOT NULL REFERENCES warranties (id),
    upkeep TEXT NOT NULL,
    number INTEGER NOT NULL,
    answer TEXT NOT NULL,
    on_day TEXT NOT NULL,
    note TEXT,
    entered_at TEXT NOT NULL,
    entered_by BLOB NOT NULL REFERENCES members (id)
);
CREATE INDEX answers_by_warranty ON answers (warranty_id, upkeep, number);
