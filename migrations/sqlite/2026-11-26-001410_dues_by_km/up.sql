ALTER TABLE dues ADD COLUMN due_by_km TEXT;
ALTER TABLE dues ADD COLUMN closes_by_km TEXT;
CREATE INDEX dues_by_expected_due ON dues (due_by_km);
CREATE INDEX dues_by_expected_closing ON dues (closes_by_km);
