ALTER TABLE shop_vehicles ADD COLUMN door_code BLOB NOT NULL DEFAULT X'';
UPDATE shop_vehicles SET door_code = randomblob(16);
CREATE UNIQUE INDEX shop_vehicles_by_door ON shop_vehicles (door_code);
