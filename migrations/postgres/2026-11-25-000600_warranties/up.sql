CREATE TABLE warranties (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    number TEXT COLLATE "C" NOT NULL,
    verify_code TEXT COLLATE "C" NOT NULL UNIQUE,
    job_id UUID NOT NULL REFERENCES jobs (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    customer_id UUID REFERENCES customers (id),
    terms_id UUID NOT NULL REFERENCES terms (id),
    start_on DATE NOT NULL,
    start_km BIGINT NOT NULL,
    time_zone TEXT COLLATE "C" NOT NULL,
    cover TEXT COLLATE "C" NOT NULL,
    entered_at TEXT COLLATE "C" NOT NULL,
    voided_at TEXT COLLATE "C",
    void_reason TEXT COLLATE "C",
    replaces UUID REFERENCES warranties (id),
    assessed_on DATE NOT NULL,
    next_change TEXT COLLATE "C",
    version BIGINT NOT NULL,
    UNIQUE (shop_id, number)
);
CREATE INDEX warranties_by_vehicle ON warranties (vehicle_id);
CREATE INDEX warranties_by_job ON warranties (job_id);
CREATE INDEX warranties_by_next_change ON warranties (next_change);
CREATE INDEX warranties_by_entry ON warranties (entered_at);

CREATE TABLE facts (
    warranty_id UUID NOT NULL REFERENCES warranties (id),
    position BIGINT NOT NULL,
    event_id UUID NOT NULL,
    body TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (warranty_id, position),
    UNIQUE (warranty_id, event_id)
);

CREATE TABLE verdicts (
    warranty_id UUID NOT NULL REFERENCES warranties (id),
    surface TEXT COLLATE "C" NOT NULL,
    state TEXT COLLATE "C" NOT NULL,
    last_day DATE NOT NULL,
    body TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (warranty_id, surface)
);

CREATE TABLE dues (
    warranty_id UUID NOT NULL REFERENCES warranties (id),
    rule INTEGER NOT NULL,
    upkeep TEXT COLLATE "C" NOT NULL,
    number INTEGER NOT NULL,
    shop_id UUID NOT NULL REFERENCES shops (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    opens DATE NOT NULL,
    due DATE NOT NULL,
    closes DATE NOT NULL,
    status TEXT COLLATE "C" NOT NULL,
    body TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (warranty_id, rule, number)
);
CREATE INDEX dues_by_closes ON dues (shop_id, closes);
CREATE INDEX dues_by_due ON dues (due);
CREATE INDEX dues_by_closing_day ON dues (closes);
