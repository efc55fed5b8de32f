DROP INDEX verdicts_by_last_day;
