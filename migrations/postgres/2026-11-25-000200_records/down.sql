DROP TABLE record_persons;
DROP TABLE records;
