-- Nobody reads the due as assessed from here: it is worked out where it is told. Its warranty answers for shop and vehicle.
ALTER TABLE dues DROP COLUMN body;
ALTER TABLE dues DROP CONSTRAINT dues_shop_id_fkey;
ALTER TABLE dues DROP CONSTRAINT dues_vehicle_id_fkey;
