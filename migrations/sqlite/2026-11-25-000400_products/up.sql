CREATE TABLE products (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    code TEXT NOT NULL,
    title TEXT NOT NULL,
    role TEXT NOT NULL,
    created_at TEXT NOT NULL,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, code)
);

CREATE TABLE sheets (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    product_id BLOB NOT NULL REFERENCES products (id),
    edition INTEGER NOT NULL,
    document TEXT NOT NULL,
    digest BLOB NOT NULL,
    created_at TEXT NOT NULL,
    UNIQUE (product_id, edition)
);

CREATE TABLE batches (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    product_id BLOB NOT NULL REFERENCES products (id),
    number TEXT NOT NULL,
    state TEXT NOT NULL,
    made_on TEXT,
    expires_on TEXT,
    opened_on TEXT,
    ml REAL,
    created_at TEXT NOT NULL,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, product_id, number)
);

CREATE TABLE terms (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    code TEXT NOT NULL,
    edition INTEGER NOT NULL,
    state TEXT NOT NULL,
    document TEXT NOT NULL,
    digest BLOB NOT NULL,
    created_at TEXT NOT NULL,
    published_at TEXT,
    published_by BLOB REFERENCES members (id),
    version BIGINT NOT NULL,
    UNIQUE (shop_id, code, edition)
);

CREATE TABLE accreditations (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    issuer TEXT NOT NULL,
    from_on TEXT NOT NULL,
    until_on TEXT,
    version BIGINT NOT NULL
);
CREATE INDEX accreditations_by_shop ON accreditations (shop_id, issuer);
