DROP TABLE ticks;
DROP TABLE counters;
DROP TABLE sessions;
DROP TABLE members;
DROP TABLE people;
DROP TABLE shops;
DROP TABLE keys;
DROP TABLE settings;
