CREATE TABLE visit_photos (
    id UUID NOT NULL PRIMARY KEY,
    visit_id UUID NOT NULL REFERENCES visits (id),
    digest BYTEA NOT NULL REFERENCES files (digest),
    media_type TEXT COLLATE "C" NOT NULL,
    bytes BIGINT NOT NULL,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    panel TEXT COLLATE "C",
    taken_at TEXT COLLATE "C",
    note TEXT COLLATE "C",
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL
);
CREATE INDEX visit_photos_by_visit ON visit_photos (visit_id, id);
CREATE INDEX visit_photos_by_file ON visit_photos (digest);
