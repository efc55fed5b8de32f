DROP TABLE signatures;
DROP TABLE marks;
DROP TABLE photos;
DROP TABLE files;
ALTER TABLE job_panels DROP COLUMN old_coating;
