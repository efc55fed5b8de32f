CREATE TABLE links (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    customer_id UUID NOT NULL REFERENCES customers (id),
    purpose TEXT COLLATE "C" NOT NULL,
    hash BYTEA NOT NULL UNIQUE,
    vehicle_id UUID REFERENCES vehicles (id),
    says TEXT COLLATE "C",
    made_at TEXT COLLATE "C" NOT NULL,
    expires_at TEXT COLLATE "C" NOT NULL,
    last_used_at TEXT COLLATE "C",
    used_at TEXT COLLATE "C",
    revoked_at TEXT COLLATE "C"
);
CREATE INDEX links_by_customer ON links (customer_id, purpose);
CREATE INDEX links_by_vehicle ON links (vehicle_id);
