DROP INDEX shop_vehicles_by_door;
ALTER TABLE shop_vehicles DROP COLUMN door_code;
