CREATE TABLE suppressions (
    shop_id BLOB NOT NULL REFERENCES shops (id),
    email TEXT NOT NULL,
    words TEXT NOT NULL,
    suppressed_at TEXT NOT NULL,
    PRIMARY KEY (shop_id, email)
);
