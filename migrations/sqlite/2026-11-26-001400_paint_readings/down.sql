DROP TABLE paint_readings;
