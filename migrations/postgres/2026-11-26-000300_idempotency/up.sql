CREATE TABLE idempotency (
    shop_id UUID NOT NULL REFERENCES shops (id),
    member_id UUID NOT NULL REFERENCES members (id),
    key TEXT COLLATE "C" NOT NULL,
    digest BYTEA NOT NULL,
    status INTEGER NOT NULL,
    location TEXT COLLATE "C",
    etag TEXT COLLATE "C",
    body TEXT COLLATE "C" NOT NULL,
    kept_at TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (member_id, key)
);
CREATE INDEX idempotency_by_age ON idempotency (kept_at);
