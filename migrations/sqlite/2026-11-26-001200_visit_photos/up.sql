CREATE TABLE visit_photos (
    id BLOB NOT NULL PRIMARY KEY,
    visit_id BLOB NOT NULL REFERENCES visits (id),
    digest BLOB NOT NULL REFERENCES files (digest),
    media_type TEXT NOT NULL,
    bytes BIGINT NOT NULL,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    panel TEXT,
    taken_at TEXT,
    note TEXT,
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL
);
CREATE INDEX visit_photos_by_visit ON visit_photos (visit_id, id);
CREATE INDEX visit_photos_by_file ON visit_photos (digest);
