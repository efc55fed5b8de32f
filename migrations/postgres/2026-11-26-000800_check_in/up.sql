ALTER TABLE job_panels ADD COLUMN old_coating BOOLEAN NOT NULL DEFAULT FALSE;

CREATE TABLE files (
    digest BYTEA NOT NULL PRIMARY KEY
);

CREATE TABLE photos (
    id UUID NOT NULL PRIMARY KEY,
    job_id UUID NOT NULL REFERENCES jobs (id),
    digest BYTEA NOT NULL REFERENCES files (digest),
    media_type TEXT COLLATE "C" NOT NULL,
    bytes BIGINT NOT NULL,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    panel TEXT COLLATE "C",
    taken_at TEXT COLLATE "C",
    note TEXT COLLATE "C",
    entered_afterwards BOOLEAN NOT NULL,
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX photos_by_job ON photos (job_id, id);
CREATE INDEX photos_by_file ON photos (digest);

CREATE TABLE marks (
    id UUID NOT NULL PRIMARY KEY,
    job_id UUID NOT NULL REFERENCES jobs (id),
    panel TEXT COLLATE "C" NOT NULL,
    surface TEXT COLLATE "C" NOT NULL,
    kind TEXT COLLATE "C" NOT NULL,
    size_mm DOUBLE PRECISION,
    note TEXT COLLATE "C",
    photo_id UUID REFERENCES photos (id),
    seen_at TEXT COLLATE "C",
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX marks_by_job ON marks (job_id, id);
CREATE INDEX marks_by_photo ON marks (photo_id);

CREATE TABLE signatures (
    id UUID NOT NULL PRIMARY KEY,
    job_id UUID NOT NULL REFERENCES jobs (id),
    occasion TEXT COLLATE "C" NOT NULL,
    document TEXT COLLATE "C" NOT NULL,
    digest BYTEA NOT NULL,
    name TEXT COLLATE "C" NOT NULL,
    strokes TEXT COLLATE "C" NOT NULL,
    signed_at TEXT COLLATE "C" NOT NULL,
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL,
    record_seq BIGINT NOT NULL
);
CREATE INDEX signatures_by_job ON signatures (job_id, id);
