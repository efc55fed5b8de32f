DROP TRIGGER shop_vehicles_search_added;
DROP TRIGGER shop_vehicles_search_changed;
DROP TRIGGER shop_vehicles_search_removed;
DROP TABLE shop_vehicles_search;
DROP TABLE shop_vehicles_search_rows;
UPDATE shop_vehicles SET search_key = ltrim(replace(search_key, '  ', ' '));

DROP TRIGGER customers_search_added;
DROP TRIGGER customers_search_changed;
DROP TRIGGER customers_search_removed;
DROP TABLE customers_search;
DROP TABLE customers_search_rows;
UPDATE customers SET search_key = ltrim(replace(search_key, '  ', ' '));
