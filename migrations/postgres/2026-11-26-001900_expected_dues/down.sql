DROP INDEX dues_expected_closing;
DROP INDEX dues_expected_due;
CREATE INDEX dues_by_expected_due ON dues (due_by_km);
CREATE INDEX dues_by_expected_closing ON dues (closes_by_km);
