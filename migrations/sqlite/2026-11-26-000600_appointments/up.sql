CREATE TABLE appointments (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    at TEXT NOT NULL,
    on_day TEXT NOT NULL,
    state TEXT NOT NULL,
    note TEXT,
    created_at TEXT NOT NULL,
    created_by BLOB NOT NULL REFERENCES members (id),
    version BIGINT NOT NULL
);
CREATE INDEX appointments_by_shop ON appointments (shop_id, at);
CREATE INDEX appointments_by_vehicle ON appointments (vehicle_id, state);
CREATE INDEX appointments_by_day ON appointments (state, on_day);

CREATE TABLE appointment_dues (
    appointment_id BLOB NOT NULL REFERENCES appointments (id),
    warranty_id BLOB NOT NULL REFERENCES warranties (id),
    upkeep TEXT NOT NULL,
    number INTEGER NOT NULL,
    PRIMARY KEY (appointment_id, warranty_id, upkeep, number)
);
CREATE INDEX appointment_dues_by_warranty ON appointment_dues (warranty_id);

CREATE TABLE tasks (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    business_key TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL,
    customer_id BLOB REFERENCES customers (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    text TEXT NOT NULL,
    created_at TEXT NOT NULL,
    done_at TEXT,
    done_by BLOB REFERENCES members (id),
    version BIGINT NOT NULL
);
CREATE INDEX tasks_by_shop ON tasks (shop_id, id);
