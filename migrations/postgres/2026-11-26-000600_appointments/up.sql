CREATE TABLE appointments (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    at TEXT COLLATE "C" NOT NULL,
    on_day DATE NOT NULL,
    state TEXT COLLATE "C" NOT NULL,
    note TEXT COLLATE "C",
    created_at TEXT COLLATE "C" NOT NULL,
    created_by UUID NOT NULL REFERENCES members (id),
    version BIGINT NOT NULL
);
CREATE INDEX appointments_by_shop ON appointments (shop_id, at);
CREATE INDEX appointments_by_vehicle ON appointments (vehicle_id, state);
CREATE INDEX appointments_by_day ON appointments (state, on_day);

CREATE TABLE appointment_dues (
    appointment_id UUID NOT NULL REFERENCES appointments (id),
    warranty_id UUID NOT NULL REFERENCES warranties (id),
    upkeep TEXT COLLATE "C" NOT NULL,
    number INTEGER NOT NULL,
    PRIMARY KEY (appointment_id, warranty_id, upkeep, number)
);
CREATE INDEX appointment_dues_by_warranty ON appointment_dues (warranty_id);

CREATE TABLE tasks (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    business_key TEXT COLLATE "C" NOT NULL UNIQUE,
    kind TEXT COLLATE "C" NOT NULL,
    customer_id UUID REFERENCES customers (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    text TEXT COLLATE "C" NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL,
    done_at TEXT COLLATE "C",
    done_by UUID REFERENCES members (id),
    version BIGINT NOT NULL
);
CREATE INDEX tasks_by_shop ON tasks (shop_id, id);
