CREATE TABLE packages (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    code TEXT NOT NULL,
    document TEXT NOT NULL,
    created_at TEXT NOT NULL,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, code)
);
CREATE TABLE addenda (
    id BLOB NOT NULL PRIMARY KEY,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    body TEXT NOT NULL,
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL,
    record_seq BIGINT NOT NULL
);
CREATE INDEX addenda_by_job ON addenda (job_id, id);
ALTER TABLE jobs ADD COLUMN package TEXT;
ALTER TABLE jobs ADD COLUMN plan TEXT;
