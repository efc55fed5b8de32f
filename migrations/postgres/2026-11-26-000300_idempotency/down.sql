DROP TABLE idempotency;
