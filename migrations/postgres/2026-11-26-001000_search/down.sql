DROP INDEX shop_vehicles_search;
UPDATE shop_vehicles SET search_key = ltrim(replace(search_key, '  ', ' '));

DROP INDEX customers_search;
UPDATE customers SET search_key = ltrim(replace(search_key, '  ', ' '));

DROP FUNCTION search_parts (UUID, TEXT);
