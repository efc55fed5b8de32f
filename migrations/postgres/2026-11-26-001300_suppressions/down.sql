DROP TABLE suppressions;
