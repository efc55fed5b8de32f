-- The work list's index has closing days by shop: another by the day alone is written with every due, and looked up once a
-- minute.
DROP INDEX dues_by_closing_day;
