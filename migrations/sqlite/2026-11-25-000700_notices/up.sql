CREATE TABLE messages (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    message_id TEXT NOT NULL UNIQUE,
    sender TEXT NOT NULL,
    recipient TEXT NOT NULL,
    file_name TEXT NOT NULL,
    bytes BLOB NOT NULL,
    state TEXT NOT NULL,
    send_after TEXT NOT NULL,
    claimed_until TEXT,
    attempts INTEGER NOT NULL,
    last_error TEXT,
    created_at TEXT NOT NULL,
    sent_at TEXT
);
CREATE INDEX messages_by_state ON messages (state, send_after);

CREATE TABLE notices (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    business_key TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL,
    state TEXT NOT NULL,
    customer_id BLOB NOT NULL REFERENCES customers (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    warranty_id BLOB REFERENCES warranties (id),
    about TEXT NOT NULL,
    subject TEXT NOT NULL,
    planned_for TEXT NOT NULL,
    message_id BLOB REFERENCES messages (id),
    created_at TEXT NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX notices_by_shop ON notices (shop_id, id);
CREATE INDEX notices_by_state ON notices (state, planned_for);
CREATE INDEX notices_by_message ON notices (message_id);
CREATE INDEX notices_by_warranty ON notices (warranty_id);
