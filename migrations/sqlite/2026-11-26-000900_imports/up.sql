CREATE TABLE imports (
    shop_id BLOB NOT NULL REFERENCES shops (id),
    kind TEXT NOT NULL,
    key TEXT NOT NULL,
    digest BLOB NOT NULL,
    subject_id BLOB NOT NULL,
    imported_at TEXT NOT NULL,
    PRIMARY KEY (shop_id, kind, key)
);
CREATE INDEX imports_by_subject ON imports (subject_id);
