DROP TABLE answers;
