CREATE TABLE suppressions (
    shop_id UUID NOT NULL REFERENCES shops (id),
    email TEXT COLLATE "C" NOT NULL,
    words TEXT COLLATE "C" NOT NULL,
    suppressed_at TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (shop_id, email)
);
