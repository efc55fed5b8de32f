CREATE TABLE imports (
    shop_id UUID NOT NULL REFERENCES shops (id),
    kind TEXT COLLATE "C" NOT NULL,
    key TEXT COLLATE "C" NOT NULL,
    digest BYTEA NOT NULL,
    subject_id UUID NOT NULL,
    imported_at TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (shop_id, kind, key)
);
CREATE INDEX imports_by_subject ON imports (subject_id);
