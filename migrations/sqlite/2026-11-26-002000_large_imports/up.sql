-- Nobody reads the due as assessed from here: it is worked out where it is told. The table is its own key, and its warranty
-- answers for shop and vehicle: a past job with many dues is written to one place, and looked up in two, the less.
CREATE TABLE lean_dues (
    warranty_id BLOB NOT NULL REFERENCES warranties (id),
    rule INTEGER NOT NULL,
    number INTEGER NOT NULL,
    shop_id BLOB NOT NULL,
    vehicle_id BLOB NOT NULL,
    upkeep TEXT NOT NULL,
    opens TEXT NOT NULL,
    due TEXT NOT NULL,
    closes TEXT NOT NULL,
    status TEXT NOT NULL,
    due_by_km TEXT,
    closes_by_km TEXT,
    PRIMARY KEY (warranty_id, rule, number)
) WITHOUT ROWID;
INSERT INTO lean_dues
    (warranty_id, rule, number, shop_id, vehicle_id, upkeep, opens, due, closes, status, due_by_km, closes_by_km)
    SELECT warranty_id, rule, number, shop_id, vehicle_id, upkeep, opens, due, closes, status, due_by_km, closes_by_km
    FROM dues ORDER BY warranty_id, rule, number;
DROP TABLE dues;
ALTER TABLE lean_dues RENAME TO dues;
CREATE INDEX dues_by_closes ON dues (shop_id, closes);
CREATE INDEX dues_by_due ON dues (due);
CREATE INDEX dues_by_closing_day ON dues (closes);
CREATE INDEX dues_expected_due ON dues (due_by_km) WHERE due_by_km IS NOT NULL;
CREATE INDEX dues_expected_closing ON dues (closes_by_km) WHERE closes_by_km IS NOT NULL;
-- What is searched is gathered in memory up to 16 MB, not 1 MB, before it goes to a segment of its own: a large import has
-- fewer to merge. A small write is gathered until its commit either way.
INSERT INTO shop_vehicles_search (shop_vehicles_search, rank) VALUES ('hashsize', 16777216);
INSERT INTO customers_search (customers_search, rank) VALUES ('hashsize', 16777216);
