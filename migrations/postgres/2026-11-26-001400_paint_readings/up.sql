CREATE TABLE paint_readings (
    id UUID NOT NULL PRIMARY KEY,
    job_id UUID NOT NULL REFERENCES jobs (id),
    panel TEXT COLLATE "C" NOT NULL,
    polishing TEXT COLLATE "C" NOT NULL,
    ground TEXT COLLATE "C",
    spots TEXT COLLATE "C" NOT NULL,
    read_at TEXT COLLATE "C",
    read_by UUID REFERENCES members (id),
    entered_by UUID NOT NULL REFERENCES members (id),
    entered_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX paint_readings_by_job ON paint_readings (job_id, id);
