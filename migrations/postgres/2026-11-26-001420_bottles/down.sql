ALTER TABLE steps DROP COLUMN bottle_ml;
