DROP TABLE visits;
DROP TABLE vehicle_events;
DROP TABLE ownerships;
DROP TABLE customers;
DROP TABLE shop_vehicles;
DROP TABLE vehicles;
