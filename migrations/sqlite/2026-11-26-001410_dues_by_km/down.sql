DROP INDEX dues_by_expected_closing;
DROP INDEX dues_by_expected_due;
ALTER TABLE dues DROP COLUMN closes_by_km;
ALTER TABLE dues DROP COLUMN due_by_km;
