-- Nobody reads the due as assessed from here: it is worked out where it is told.
ALTER TABLE dues DROP COLUMN body;
