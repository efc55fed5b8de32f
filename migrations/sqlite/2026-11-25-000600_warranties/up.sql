CREATE TABLE warranties (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    number TEXT NOT NULL,
    verify_code TEXT NOT NULL UNIQUE,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    customer_id BLOB REFERENCES customers (id),
    terms_id BLOB NOT NULL REFERENCES terms (id),
    start_on TEXT NOT NULL,
    start_km BIGINT NOT NULL,
    time_zone TEXT NOT NULL,
    cover TEXT NOT NULL,
    entered_at TEXT NOT NULL,
    voided_at TEXT,
    void_reason TEXT,
    replaces BLOB REFERENCES warranties (id),
    assessed_on TEXT NOT NULL,
    next_change TEXT,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, number)
);
CREATE INDEX warranties_by_vehicle ON warranties (vehicle_id);
CREATE INDEX warranties_by_job ON warranties (job_id);
CREATE INDEX warranties_by_next_change ON warranties (next_change);
CREATE INDEX warranties_by_entry ON warranties (entered_at);

CREATE TABLE facts (
    warranty_id BLOB NOT NULL REFERENCES warranties (id),
    position BIGINT NOT NULL,
    event_id BLOB NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (warranty_id, position),
    UNIQUE (warranty_id, event_id)
);

CREATE TABLE verdicts (
    warranty_id BLOB NOT NULL REFERENCES warranties (id),
    surface TEXT NOT NULL,
    state TEXT NOT NULL,
    last_day TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (warranty_id, surface)
);

CREATE TABLE dues (
    warranty_id BLOB NOT NULL REFERENCES warranties (id),
    rule INTEGER NOT NULL,
    upkeep TEXT NOT NULL,
    number INTEGER NOT NULL,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    opens TEXT NOT NULL,
    due TEXT NOT NULL,
    closes TEXT NOT NULL,
    status TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (warranty_id, rule, number)
);
CREATE INDEX dues_by_closes ON dues (shop_id, closes);
CREATE INDEX dues_by_due ON dues (due);
CREATE INDEX dues_by_closing_day ON dues (closes);
