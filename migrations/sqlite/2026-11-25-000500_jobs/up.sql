CREATE TABLE jobs (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    number TEXT NOT NULL,
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    state TEXT NOT NULL,
    odometer_value BIGINT NOT NULL,
    odometer_unit TEXT NOT NULL,
    terms_code TEXT,
    terms_edition INTEGER,
    started_at TEXT,
    created_at TEXT NOT NULL,
    created_by BLOB NOT NULL REFERENCES members (id),
    signed_off_at TEXT,
    signed_off_by BLOB REFERENCES members (id),
    record_seq BIGINT,
    record_digest BLOB,
    handed_over_on TEXT,
    handover_km BIGINT,
    cancelled_because TEXT,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, number)
);
CREATE INDEX jobs_by_vehicle ON jobs (vehicle_id);

CREATE TABLE job_panels (
    job_id BLOB NOT NULL REFERENCES jobs (id),
    position INTEGER NOT NULL,
    surface TEXT,
    panel TEXT NOT NULL,
    finish TEXT,
    excluded BOOLEAN NOT NULL,
    PRIMARY KEY (job_id, position)
);

CREATE TABLE steps (
    id BLOB NOT NULL PRIMARY KEY,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    kind TEXT NOT NULL,
    surfaces TEXT NOT NULL,
    panels TEXT,
    product TEXT,
    dilution TEXT,
    started_at TEXT,
    ended_at TEXT,
    done_by BLOB REFERENCES members (id),
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX steps_by_job ON steps (job_id, id);

CREATE TABLE climate (
    id BLOB NOT NULL PRIMARY KEY,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    at TEXT NOT NULL,
    air_c REAL NOT NULL,
    rh_pct REAL NOT NULL,
    surface_c REAL,
    place TEXT,
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX climate_by_job ON climate (job_id, id);

CREATE TABLE coats (
    id BLOB NOT NULL PRIMARY KEY,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    surface TEXT NOT NULL,
    panels TEXT NOT NULL,
    product TEXT NOT NULL,
    sheet_edition INTEGER,
    batch TEXT NOT NULL,
    started_at TEXT NOT NULL,
    ended_at TEXT NOT NULL,
    ml REAL,
    done_by BLOB REFERENCES members (id),
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX coats_by_job ON coats (job_id, id);
CREATE INDEX coats_by_batch ON coats (product, batch);

CREATE TABLE coat_sections (
    coat_id BLOB NOT NULL REFERENCES coats (id),
    position INTEGER NOT NULL,
    panels TEXT NOT NULL,
    applied_at TEXT NOT NULL,
    levelled_at TEXT,
    PRIMARY KEY (coat_id, position)
);

CREATE TABLE passes (
    id BLOB NOT NULL PRIMARY KEY,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    code TEXT NOT NULL,
    subject TEXT NOT NULL,
    finding BLOB NOT NULL,
    reason TEXT NOT NULL,
    member_id BLOB NOT NULL REFERENCES members (id),
    passed_at TEXT NOT NULL
);
CREATE INDEX passes_by_job ON passes (job_id);
