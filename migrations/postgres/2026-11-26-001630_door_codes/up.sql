ALTER TABLE shop_vehicles ADD COLUMN door_code BYTEA NOT NULL DEFAULT '';
-- Two random UUIDs have 244 random bits; of their digest 128 are kept.
UPDATE shop_vehicles
    SET door_code = substr(sha256(uuid_send(gen_random_uuid()) || uuid_send(gen_random_uuid())), 1, 16);
CREATE UNIQUE INDEX shop_vehicles_by_door ON shop_vehicles (door_code);
