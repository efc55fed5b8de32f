DROP TABLE tasks;
DROP TABLE appointment_dues;
DROP TABLE appointments;
