CREATE TABLE paint_readings (
    id BLOB NOT NULL PRIMARY KEY,
    job_id BLOB NOT NULL REFERENCES jobs (id),
    panel TEXT NOT NULL,
    polishing TEXT NOT NULL,
    ground TEXT,
    spots TEXT NOT NULL,
    read_at TEXT,
    read_by BLOB REFERENCES members (id),
    entered_by BLOB NOT NULL REFERENCES members (id),
    entered_at TEXT NOT NULL,
    version BIGINT NOT NULL
);
CREATE INDEX paint_readings_by_job ON paint_readings (job_id, id);
