CREATE INDEX verdicts_by_last_day ON verdicts (last_day);
