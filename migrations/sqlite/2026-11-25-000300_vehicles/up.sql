CREATE TABLE vehicles (
    id BLOB NOT NULL PRIMARY KEY,
    vin TEXT UNIQUE,
    last_recorded TEXT
);

CREATE TABLE shop_vehicles (
    shop_id BLOB NOT NULL REFERENCES shops (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    plate TEXT,
    plate_key TEXT,
    make TEXT,
    model TEXT,
    model_year INTEGER,
    colour TEXT,
    finish TEXT NOT NULL,
    size TEXT NOT NULL,
    odometer_unit TEXT NOT NULL,
    search_key TEXT NOT NULL,
    created_at TEXT NOT NULL,
    version BIGINT NOT NULL,
    PRIMARY KEY (shop_id, vehicle_id)
);
CREATE INDEX shop_vehicles_by_plate ON shop_vehicles (shop_id, plate_key);

CREATE TABLE customers (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    name TEXT NOT NULL,
    kind TEXT NOT NULL,
    email TEXT,
    phone TEXT,
    language TEXT NOT NULL,
    time_zone TEXT NOT NULL,
    mail_upkeep BOOLEAN NOT NULL,
    mail_history BOOLEAN NOT NULL,
    search_key TEXT NOT NULL,
    created_at TEXT NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX customers_by_shop ON customers (shop_id, id);

CREATE TABLE ownerships (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    customer_id BLOB NOT NULL REFERENCES customers (id),
    from_on TEXT NOT NULL,
    until_on TEXT,
    event_id BLOB
);
CREATE INDEX ownerships_by_vehicle ON ownerships (shop_id, vehicle_id);
CREATE INDEX ownerships_by_customer ON ownerships (customer_id);

CREATE TABLE vehicle_events (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    position BIGINT NOT NULL,
    kind TEXT NOT NULL,
    on_day TEXT NOT NULL,
    recorded_at TEXT NOT NULL,
    odometer_value BIGINT,
    odometer_unit TEXT,
    km BIGINT,
    body TEXT NOT NULL,
    instead_of BLOB,
    retracts BLOB UNIQUE,
    visit_id BLOB,
    entered_by BLOB NOT NULL REFERENCES members (id),
    record_seq BIGINT NOT NULL,
    UNIQUE (vehicle_id, position)
);
CREATE INDEX vehicle_events_by_visit ON vehicle_events (visit_id);

CREATE TABLE visits (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    on_day TEXT NOT NULL,
    odometer_value BIGINT,
    odometer_unit TEXT,
    note TEXT,
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL
);
CREATE INDEX visits_by_shop ON visits (shop_id, id);
CREATE INDEX visits_by_vehicle ON visits (vehicle_id);
