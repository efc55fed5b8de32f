CREATE TABLE records (
    shop_id BLOB NOT NULL REFERENCES shops (id),
    seq BIGINT NOT NULL,
    kind TEXT NOT NULL,
    subject TEXT NOT NULL,
    body TEXT NOT NULL,
    digest BLOB NOT NULL,
    leaf BLOB NOT NULL,
    recorded_at TEXT NOT NULL,
    PRIMARY KEY (shop_id, seq)
);
CREATE INDEX records_by_subject ON records (shop_id, subject);

CREATE TABLE record_persons (
    shop_id BLOB NOT NULL,
    seq BIGINT NOT NULL,
    place TEXT NOT NULL,
    salt BLOB NOT NULL,
    text TEXT NOT NULL,
    PRIMARY KEY (shop_id, seq, place),
    FOREIGN KEY (shop_id, seq) REFERENCES records (shop_id, seq)
);
