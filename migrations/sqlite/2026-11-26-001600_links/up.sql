CREATE TABLE links (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    customer_id BLOB NOT NULL REFERENCES customers (id),
    purpose TEXT NOT NULL,
    hash BLOB NOT NULL UNIQUE,
    vehicle_id BLOB REFERENCES vehicles (id),
    says TEXT,
    made_at TEXT NOT NULL,
    expires_at TEXT NOT NULL,
    last_used_at TEXT,
    used_at TEXT,
    revoked_at TEXT
);
CREATE INDEX links_by_customer ON links (customer_id, purpose);
CREATE INDEX links_by_vehicle ON links (vehicle_id);
