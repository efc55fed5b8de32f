PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, 'entered_by BLOB REFERENCES', 'entered_by BLOB NOT NULL REFERENCES')
    WHERE type = 'table' AND name IN ('vehicle_events', 'visits');
PRAGMA writable_schema = RESET;
