CREATE TABLE jobs (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    number TEXT COLLATE "C" NOT NULL,
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    state TEXT COLLATE "C" NOT NULL,
    odometer_value BIGINT NOT NULL,
    odometer_unit TEXT COLLATE "C" NOT NULL,
    terms_code TEXT COLLATE "C",
    terms_edition INTEGER,
    started_at TEXT COLLATE "C",
    created_at TEXT COLLATE "C" NOT NULL,
    created_by UUID NOT NULL REFERENCES members (id),
    signed_off_at TEXT COLLATE "C",
    signed_off_by UUID REFERENCES members (id),
    record_seq BIGINT,
    record_digest BYTEA,
    handed_over_on DATE,
    handover_km BIGINT,
    cancelled_because TEXT COLLATE "C",
    version BIGINT NOT NULL,
    UNIQUE (shop_id, number)
);
CREATE INDEX jobs_by_vehicle ON jobs (vehicle_id);

CREATE TABLE job_panels (
    job_id UUID NOT NULL REFERENCES jobs (id),
    position INTEGER NOT NULL,
    surface TEXT COLLATE "C",
    panel TEXT COLLATE "C" NOT NULL,
    finish TEXT COLLATE "C",
    excluded BOOLEAN NOT NULL,
    PRIMARY KEY (job_id, position)
);

CREATE TABLE steps (
    id UUID NOT NULL PRIMARY KEY,
    job_id UUID NOT NULL REFERENCES jobs (id),
    kind TEXT COLLATE "C" NOT NULL,
    surfaces TEXT COLLATE "C" NOT NULL,
    panels TEXT COLLATE "C",
    product TEXT COLLATE "C",
    dilution TEXT COLLATE "C",
    started_at TEXT COLLATE "C",
    ended_at TEXT COLLATE "C",
    done_by UUID REFERENCES members (id),
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX steps_by_job ON steps (job_id, id);

CREATE TABLE climate (
    id UUID NOT NULL PRIMARY KEY,
    job_id UUID NOT NULL REFERENCES jobs (id),
    at TEXT COLLATE "C" NOT NULL,
    air_c DOUBLE PRECISION NOT NULL,
    rh_pct DOUBLE PRECISION NOT NULL,
    surface_c DOUBLE PRECISION,
    place TEXT COLLATE "C",
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX climate_by_job ON climate (job_id, id);

CREATE TABLE coats (
    id UUID NOT NULL PRIMARY KEY,
    job_id UUID NOT NULL REFERENCES jobs (id),
    surface TEXT COLLATE "C" NOT NULL,
    panels TEXT COLLATE "C" NOT NULL,
    product TEXT COLLATE "C" NOT NULL,
    sheet_edition INTEGER,
    batch TEXT COLLATE "C" NOT NULL,
    started_at TEXT COLLATE "C" NOT NULL,
    ended_at TEXT COLLATE "C" NOT NULL,
    ml DOUBLE PRECISION,
    done_by UUID REFERENCES members (id),
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX coats_by_job ON coats (job_id, id);
CREATE INDEX coats_by_batch ON coats (product, batch);

CREATE TABLE coat_sections (
    coat_id UUID NOT NULL REFERENCES coats (id),
    position INTEGER NOT NULL,
    panels TEXT COLLATE "C" NOT NULL,
    applied_at TEXT COLLATE "C" NOT NULL,
    levelled_at TEXT COLLATE "C",
    PRIMARY KEY (coat_id, position)
);

CREATE TABLE passes (
    id UUID NOT NULL PRIMARY KEY,
    job_id UUID NOT NULL REFERENCES jobs (id),
    code TEXT COLLATE "C" NOT NULL,
    subject TEXT COLLATE "C" NOT NULL,
    finding BYTEA NOT NULL,
    reason TEXT COLLATE "C" NOT NULL,
    member_id UUID NOT NULL REFERENCES members (id),
    passed_at TEXT COLLATE "C" NOT NULL
);
CREATE INDEX passes_by_job ON passes (job_id);
