DROP TABLE passes;
DROP TABLE coat_sections;
DROP TABLE coats;
DROP TABLE climate;
DROP TABLE steps;
DROP TABLE job_panels;
DROP TABLE jobs;
