ALTER TABLE jobs DROP COLUMN reading_id;
