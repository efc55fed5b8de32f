-- What people search for, by any three characters that follow each other. FTS5 names its rows by whole numbers that must
-- stay: rowids of tables without an INTEGER PRIMARY KEY do not (VACUUM).

UPDATE shop_vehicles SET search_key = '  ' || replace(search_key, ' ', '  ');
CREATE TABLE shop_vehicles_search_rows (
    id INTEGER NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL,
    subject_id BLOB NOT NULL,
    UNIQUE (shop_id, subject_id)
);
CREATE VIRTUAL TABLE shop_vehicles_search USING fts5 (
    search_key, content = '', contentless_delete = 1, tokenize = 'trigram case_sensitive 1'
);
INSERT INTO shop_vehicles_search_rows (shop_id, subject_id) SELECT shop_id, vehicle_id FROM shop_vehicles;
INSERT INTO shop_vehicles_search (rowid, search_key)
SELECT r.id, t.search_key FROM shop_vehicles t JOIN shop_vehicles_search_rows r ON r.shop_id = t.shop_id AND r.subject_id = t.vehicle_id;

CREATE TRIGGER shop_vehicles_search_added AFTER INSERT ON shop_vehicles BEGIN
    INSERT INTO shop_vehicles_search_rows (shop_id, subject_id) VALUES (new.shop_id, new.vehicle_id);
    INSERT INTO shop_vehicles_search (rowid, search_key) VALUES (last_insert_rowid(), new.search_key);
END;
CREATE TRIGGER shop_vehicles_search_changed AFTER UPDATE OF search_key, vehicle_id ON shop_vehicles
WHEN old.search_key <> new.search_key OR old.vehicle_id <> new.vehicle_id BEGIN
    UPDATE shop_vehicles_search_rows SET subject_id = new.vehicle_id WHERE shop_id = old.shop_id AND subject_id = old.vehicle_id;
    UPDATE shop_vehicles_search SET search_key = new.search_key
    WHERE rowid = (SELECT id FROM shop_vehicles_search_rows WHERE shop_id = new.shop_id AND subject_id = new.vehicle_id);
END;
CREATE TRIGGER shop_vehicles_search_removed AFTER DELETE ON shop_vehicles BEGIN
    DELETE FROM shop_vehicles_search
    WHERE rowid = (SELECT id FROM shop_vehicles_search_rows WHERE shop_id = old.shop_id AND subject_id = old.vehicle_id);
    DELETE FROM shop_vehicles_search_rows WHERE shop_id = old.shop_id AND subject_id = old.vehicle_id;
END;

UPDATE customers SET search_key = '  ' || replace(search_key, ' ', '  ');
CREATE TABLE customers_search_rows (
    id INTEGER NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL,
    subject_id BLOB NOT NULL,
    UNIQUE (shop_id, subject_id)
);
CREATE VIRTUAL TABLE customers_search USING fts5 (
    search_key, content = '', contentless_delete = 1, tokenize = 'trigram case_sensitive 1'
);
INSERT INTO customers_search_rows (shop_id, subject_id) SELECT shop_id, id FROM customers;
INSERT INTO customers_search (rowid, search_key)
SELECT r.id, t.search_key FROM customers t JOIN customers_search_rows r ON r.shop_id = t.shop_id AND r.subject_id = t.id;

CREATE TRIGGER customers_search_added AFTER INSERT ON customers BEGIN
    INSERT INTO customers_search_rows (shop_id, subject_id) VALUES (new.shop_id, new.id);
    INSERT INTO customers_search (rowid, search_key) VALUES (last_insert_rowid(), new.search_key);
END;
CREATE TRIGGER customers_search_changed AFTER UPDATE OF search_key, id ON customers
WHEN old.search_key <> new.search_key OR old.id <> new.id BEGIN
    UPDATE customers_search_rows SET subject_id = new.id WHERE shop_id = old.shop_id AND subject_id = old.id;
    UPDATE customers_search SET search_key = new.search_key
    WHERE rowid = (SELECT id FROM customers_search_rows WHERE shop_id = new.shop_id AND subject_id = new.id);
END;
CREATE TRIGGER customers_search_removed AFTER DELETE ON customers BEGIN
    DELETE FROM customers_search
    WHERE rowid = (SELECT id FROM customers_search_rows WHERE shop_id = old.shop_id AND subject_id = old.id);
    DELETE FROM customers_search_rows WHERE shop_id = old.shop_id AND subject_id = old.id;
END;
