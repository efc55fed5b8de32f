DROP TABLE report_photos;
DROP TABLE reports;
