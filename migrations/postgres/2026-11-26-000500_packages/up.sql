CREATE TABLE packages (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    code TEXT COLLATE "C" NOT NULL,
    document TEXT COLLATE "C" NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, code)
);
CREATE TABLE addenda (
    id UUID NOT NULL PRIMARY KEY,
    job_id UUID NOT NULL REFERENCES jobs (id),
    body TEXT COLLATE "C" NOT NULL,
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL,
    record_seq BIGINT NOT NULL
);
CREATE INDEX addenda_by_job ON addenda (job_id, id);
ALTER TABLE jobs ADD COLUMN package TEXT COLLATE "C";
ALTER TABLE jobs ADD COLUMN plan TEXT COLLATE "C";
