CREATE TABLE idempotency (
    shop_id BLOB NOT NULL REFERENCES shops (id),
    member_id BLOB NOT NULL REFERENCES members (id),
    key TEXT NOT NULL,
    digest BLOB NOT NULL,
    status INTEGER NOT NULL,
    location TEXT,
    etag TEXT,
    body TEXT NOT NULL,
    kept_at TEXT NOT NULL,
    PRIMARY KEY (member_id, key)
);
CREATE INDEX idempotency_by_age ON idempotency (kept_at);
