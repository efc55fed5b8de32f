DROP TABLE accreditations;
DROP TABLE terms;
DROP TABLE batches;
DROP TABLE sheets;
DROP TABLE products;
