ALTER TABLE job_panels ADD COLUMN old_coating BOOLEAN NOT NULL DEFAULT FALSE;

CREATE TABLE files (
    digest BLOB NOT NULL PRIMARY KEY
);

CREATE TABLE photos (
    id BLOB NOT NULL PRIMARY KEY,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    digest BLOB NOT NULL REFERENCES files (digest),
    media_type TEXT NOT NULL,
    bytes BIGINT NOT NULL,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    panel TEXT,
    taken_at TEXT,
    note TEXT,
    entered_afterwards BOOLEAN NOT NULL,
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX photos_by_job ON photos (job_id, id);
CREATE INDEX photos_by_file ON photos (digest);

CREATE TABLE marks (
    id BLOB NOT NULL PRIMARY KEY,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    panel TEXT NOT NULL,
    surface TEXT NOT NULL,
    kind TEXT NOT NULL,
    size_mm REAL,
    note TEXT,
    photo_id BLOB REFERENCES photos (id),
    seen_at TEXT,
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX marks_by_job ON marks (job_id, id);
CREATE INDEX marks_by_photo ON marks (photo_id);

CREATE TABLE signatures (
    id BLOB NOT NULL PRIMARY KEY,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    occasion TEXT NOT NULL,
    document TEXT NOT NULL,
    digest BLOB NOT NULL,
    name TEXT NOT NULL,
    strokes TEXT NOT NULL,
    signed_at TEXT NOT NULL,
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL,
    record_seq BIGINT NOT NULL
);
CREATE INDEX signatures_by_job ON signatures (job_id, id);
