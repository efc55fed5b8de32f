CREATE TABLE vehicles (
    id UUID NOT NULL PRIMARY KEY,
    vin TEXT COLLATE "C" UNIQUE,
    last_recorded TEXT COLLATE "C"
);

CREATE TABLE shop_vehicles (
    shop_id UUID NOT NULL REFERENCES shops (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    plate TEXT COLLATE "C",
    plate_key TEXT COLLATE "C",
    make TEXT COLLATE "C",
    model TEXT COLLATE "C",
    model_year INTEGER,
    colour TEXT COLLATE "C",
    finish TEXT COLLATE "C" NOT NULL,
    size TEXT COLLATE "C" NOT NULL,
    odometer_unit TEXT COLLATE "C" NOT NULL,
    search_key TEXT COLLATE "C" NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL,
    PRIMARY KEY (shop_id, vehicle_id)
);
CREATE INDEX shop_vehicles_by_plate ON shop_vehicles (shop_id, plate_key);

CREATE TABLE customers (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    name TEXT COLLATE "C" NOT NULL,
    kind TEXT COLLATE "C" NOT NULL,
    email TEXT COLLATE "C",
    phone TEXT COLLATE "C",
    language TEXT COLLATE "C" NOT NULL,
    time_zone TEXT COLLATE "C" NOT NULL,
    mail_upkeep BOOLEAN NOT NULL,
    mail_history BOOLEAN NOT NULL,
    search_key TEXT COLLATE "C" NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX customers_by_shop ON customers (shop_id, id);

CREATE TABLE ownerships (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    customer_id UUID NOT NULL REFERENCES customers (id),
    from_on DATE NOT NULL,
    until_on DATE,
    event_id UUID
);
CREATE INDEX ownerships_by_vehicle ON ownerships (shop_id, vehicle_id);
CREATE INDEX ownerships_by_customer ON ownerships (customer_id);

CREATE TABLE vehicle_events (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    position BIGINT NOT NULL,
    kind TEXT COLLATE "C" NOT NULL,
    on_day DATE NOT NULL,
    recorded_at TEXT COLLATE "C" NOT NULL,
    odometer_value BIGINT,
    odometer_unit TEXT COLLATE "C",
    km BIGINT,
    body TEXT COLLATE "C" NOT NULL,
    instead_of UUID,
    retracts UUID UNIQUE,
    visit_id UUID,
    entered_by UUID NOT NULL REFERENCES members (id),
    record_seq BIGINT NOT NULL,
    UNIQUE (vehicle_id, position)
);
CREATE INDEX vehicle_events_by_visit ON vehicle_events (visit_id);

CREATE TABLE visits (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    on_day DATE NOT NULL,
    odometer_value BIGINT,
    odometer_unit TEXT COLLATE "C",
    note TEXT COLLATE "C",
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL
);
CREATE INDEX visits_by_shop ON visits (shop_id, id);
CREATE INDEX visits_by_vehicle ON visits (vehicle_id);
