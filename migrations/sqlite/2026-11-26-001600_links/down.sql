DROP TABLE links;
