DROP TABLE visit_photos;
