CREATE TABLE messages (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    message_id TEXT COLLATE "C" NOT NULL UNIQUE,
    sender TEXT COLLATE "C" NOT NULL,
    recipient TEXT COLLATE "C" NOT NULL,
    file_name TEXT COLLATE "C" NOT NULL,
    bytes BYTEA NOT NULL,
    state TEXT COLLATE "C" NOT NULL,
    send_after TEXT COLLATE "C" NOT NULL,
    claimed_until TEXT COLLATE "C",
    attempts INTEGER NOT NULL,
    last_error TEXT COLLATE "C",
    created_at TEXT COLLATE "C" NOT NULL,
    sent_at TEXT COLLATE "C"
);
CREATE INDEX messages_by_state ON messages (state, send_after);

CREATE TABLE notices (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    business_key TEXT COLLATE "C" NOT NULL UNIQUE,
    kind TEXT COLLATE "C" NOT NULL,
    state TEXT COLLATE "C" NOT NULL,
    customer_id UUID NOT NULL REFERENCES customers (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    warranty_id UUID REFERENCES warranties (id),
    about TEXT COLLATE "C" NOT NULL,
    subject TEXT COLLATE "C" NOT NULL,
    planned_for TEXT COLLATE "C" NOT NULL,
    message_id UUID REFERENCES messages (id),
    created_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX notices_by_shop ON notices (shop_id, id);
CREATE INDEX notices_by_state ON notices (state, planned_for);
CREATE INDEX notices_by_message ON notices (message_id);
CREATE INDEX notices_by_warranty ON notices (warranty_id);
