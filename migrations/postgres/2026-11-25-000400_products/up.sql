CREATE TABLE products (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    code TEXT COLLATE "C" NOT NULL,
    title TEXT COLLATE "C" NOT NULL,
    role TEXT COLLATE "C" NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, code)
);

CREATE TABLE sheets (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    product_id UUID NOT NULL REFERENCES products (id),
    edition INTEGER NOT NULL,
    document TEXT COLLATE "C" NOT NULL,
    digest BYTEA NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL,
    UNIQUE (product_id, edition)
);

CREATE TABLE batches (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    product_id UUID NOT NULL REFERENCES products (id),
    number TEXT COLLATE "C" NOT NULL,
    state TEXT COLLATE "C" NOT NULL,
    made_on DATE,
    expires_on DATE,
    opened_on DATE,
    ml DOUBLE PRECISION,
    created_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, product_id, number)
);

CREATE TABLE terms (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    code TEXT COLLATE "C" NOT NULL,
    edition INTEGER NOT NULL,
    state TEXT COLLATE "C" NOT NULL,
    document TEXT COLLATE "C" NOT NULL,
    digest BYTEA NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL,
    published_at TEXT COLLATE "C",
    published_by UUID REFERENCES members (id),
    version BIGINT NOT NULL,
    UNIQUE (shop_id, code, edition)
);

CREATE TABLE accreditations (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    issuer TEXT COLLATE "C" NOT NULL,
    from_on DATE NOT NULL,
    until_on DATE,
    version BIGINT NOT NULL
);
CREATE INDEX accreditations_by_shop ON accreditations (shop_id, issuer);
