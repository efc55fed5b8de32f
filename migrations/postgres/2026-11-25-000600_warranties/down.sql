DROP TABLE dues;
DROP TABLE verdicts;
DROP TABLE facts;
DROP TABLE warranties;
