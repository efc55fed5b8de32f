CREATE TABLE reports (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    customer_id BLOB REFERENCES customers (id),
    business_key TEXT NOT NULL UNIQUE,
    says TEXT NOT NULL,
    reported_at TEXT NOT NULL,
    task_id BLOB NOT NULL UNIQUE REFERENCES tasks (id),
    record_seq BIGINT NOT NULL
);
CREATE INDEX reports_by_vehicle ON reports (shop_id, vehicle_id);

CREATE TABLE report_photos (
    id BLOB NOT NULL PRIMARY KEY,
    report_id BLOB NOT NULL REFERENCES reports (id),
    digest BLOB NOT NULL REFERENCES files (digest),
    media_type TEXT NOT NULL,
    bytes BIGINT NOT NULL,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL
);
CREATE INDEX report_photos_by_report ON report_photos (report_id, id);
CREATE INDEX report_photos_by_file ON report_photos (digest);
