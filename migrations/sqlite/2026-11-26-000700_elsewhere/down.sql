ALTER TABLE visits DROP COLUMN done_by;
