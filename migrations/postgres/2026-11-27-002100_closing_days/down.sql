CREATE INDEX dues_by_closing_day ON dues (closes);
