CREATE TABLE reports (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    customer_id UUID REFERENCES customers (id),
    business_key TEXT COLLATE "C" NOT NULL UNIQUE,
    says TEXT COLLATE "C" NOT NULL,
    reported_at TEXT COLLATE "C" NOT NULL,
    task_id UUID NOT NULL UNIQUE REFERENCES tasks (id),
    record_seq BIGINT NOT NULL
);
CREATE INDEX reports_by_vehicle ON reports (shop_id, vehicle_id);

CREATE TABLE report_photos (
    id UUID NOT NULL PRIMARY KEY,
    report_id UUID NOT NULL REFERENCES reports (id),
    digest BYTEA NOT NULL REFERENCES files (digest),
    media_type TEXT COLLATE "C" NOT NULL,
    bytes BIGINT NOT NULL,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL
);
CREATE INDEX report_photos_by_report ON report_photos (report_id, id);
CREATE INDEX report_photos_by_file ON report_photos (digest);
