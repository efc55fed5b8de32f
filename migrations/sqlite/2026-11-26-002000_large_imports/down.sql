INSERT INTO customers_search (customers_search, rank) VALUES ('hashsize', 1048576);
INSERT INTO shop_vehicles_search (shop_vehicles_search, rank) VALUES ('hashsize', 1048576);
CREATE TABLE wide_dues (
    warranty_id BLOB NOT NULL REFERENCES warranties (id),
    rule INTEGER NOT NULL,
    upkeep TEXT NOT NULL,
    number INTEGER NOT NULL,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    vehicle_id BLOB NOT NULL REFERENCES vehicles (id),
    opens TEXT NOT NULL,
    due TEXT NOT NULL,
    closes TEXT NOT NULL,
    status TEXT NOT NULL,
    due_by_km TEXT,
    closes_by_km TEXT,
    body TEXT NOT NULL,
    PRIMARY KEY (warranty_id, rule, number)
);
INSERT INTO wide_dues
    (warranty_id, rule, upkeep, number, shop_id, vehicle_id, opens, due, closes, status, due_by_km, closes_by_km, body)
    SELECT warranty_id, rule, upkeep, number, shop_id, vehicle_id, opens, due, closes, status, due_by_km, closes_by_km, '{}'
    FROM dues;
DROP TABLE dues;
ALTER TABLE wide_dues RENAME TO dues;
CREATE INDEX dues_by_closes ON dues (shop_id, closes);
CREATE INDEX dues_by_due ON dues (due);
CREATE INDEX dues_by_closing_day ON dues (closes);
CREATE INDEX dues_expected_due ON dues (due_by_km) WHERE due_by_km IS NOT NULL;
CREATE INDEX dues_expected_closing ON dues (closes_by_km) WHERE closes_by_km IS NOT NULL;
