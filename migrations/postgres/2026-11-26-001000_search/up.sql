-- What people search for, by any three characters that follow each other; with the shop, so that each finds its own.
-- Plain SQL, so that no extension has to be there.
CREATE FUNCTION search_parts (shop UUID, search_key TEXT) RETURNS TEXT[] LANGUAGE sql IMMUTABLE PARALLEL SAFE COST 10000 AS $$
    SELECT array_agg(DISTINCT substr(search_key, i, 3)) || shop::text
    FROM generate_series(1, greatest(length(search_key) - 2, 1)) AS i
$$;

UPDATE shop_vehicles SET search_key = '  ' || replace(search_key, ' ', '  ');
-- A short list of what is not in the index yet: every search reads it through.
CREATE INDEX shop_vehicles_search ON shop_vehicles USING gin (search_parts(shop_id, search_key)) WITH (gin_pending_list_limit = 256);

UPDATE customers SET search_key = '  ' || replace(search_key, ' ', '  ');
-- A short list of what is not in the index yet: every search reads it through.
CREATE INDEX customers_search ON customers USING gin (search_parts(shop_id, search_key)) WITH (gin_pending_list_limit = 256);
