CREATE TABLE records (
    shop_id UUID NOT NULL REFERENCES shops (id),
    seq BIGINT NOT NULL,
    kind TEXT COLLATE "C" NOT NULL,
    subject TEXT COLLATE "C" NOT NULL,
    body TEXT COLLATE "C" NOT NULL,
    digest BYTEA NOT NULL,
    leaf BYTEA NOT NULL,
    recorded_at TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (shop_id, seq)
);
CREATE INDEX records_by_subject ON records (shop_id, subject);

CREATE TABLE record_persons (
    shop_id UUID NOT NULL,
    seq BIGINT NOT NULL,
    place TEXT COLLATE "C" NOT NULL,
    salt BYTEA NOT NULL,
    text TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (shop_id, seq, place),
    FOREIGN KEY (shop_id, seq) REFERENCES records (shop_id, seq)
);
