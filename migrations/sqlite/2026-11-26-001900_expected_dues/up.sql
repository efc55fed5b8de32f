-- Few dues have a day that is expected by distance: only these are listed.
DROP INDEX dues_by_expected_due;
DROP INDEX dues_by_expected_closing;
CREATE INDEX dues_expected_due ON dues (due_by_km) WHERE due_by_km IS NOT NULL;
CREATE INDEX dues_expected_closing ON dues (closes_by_km) WHERE closes_by_km IS NOT NULL;
