-- SQLite has no ALTER COLUMN. To take NOT NULL from a column it says to edit the schema's own text
-- (https://www.sqlite.org/lang_altertable.html, "Making Other Kinds Of Table Schema Changes"): what is stored stays as it is.
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, 'entered_by BLOB NOT NULL', 'entered_by BLOB')
    WHERE type = 'table' AND name IN ('vehicle_events', 'visits');
PRAGMA writable_schema = RESET;
