CREATE TABLE settings (
    name TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    value TEXT COLLATE "C" NOT NULL
);

CREATE TABLE keys (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    purpose TEXT COLLATE "C" NOT NULL,
    secret BYTEA NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL,
    retired_at TEXT COLLATE "C"
);

CREATE TABLE shops (
    id UUID NOT NULL PRIMARY KEY,
    name TEXT COLLATE "C" NOT NULL,
    time_zone TEXT COLLATE "C" NOT NULL,
    details TEXT COLLATE "C" NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL
);

CREATE TABLE people (
    id UUID NOT NULL PRIMARY KEY,
    email TEXT COLLATE "C" NOT NULL UNIQUE,
    password TEXT COLLATE "C" NOT NULL,
    created_at TEXT COLLATE "C" NOT NULL
);

CREATE TABLE members (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    person_id UUID NOT NULL REFERENCES people (id),
    name TEXT COLLATE "C" NOT NULL,
    email TEXT COLLATE "C" NOT NULL,
    role TEXT COLLATE "C" NOT NULL,
    disabled_at TEXT COLLATE "C",
    created_at TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, person_id)
);
CREATE INDEX members_by_person ON members (person_id);

CREATE TABLE sessions (
    id UUID NOT NULL PRIMARY KEY,
    member_id UUID NOT NULL REFERENCES members (id),
    generation BIGINT NOT NULL,
    rotated_at TEXT COLLATE "C" NOT NULL,
    expires_at TEXT COLLATE "C" NOT NULL,
    ended_at TEXT COLLATE "C"
);
CREATE INDEX sessions_by_member ON sessions (member_id);

CREATE TABLE counters (
    shop_id UUID NOT NULL REFERENCES shops (id),
    kind TEXT COLLATE "C" NOT NULL,
    year INTEGER NOT NULL,
    value BIGINT NOT NULL,
    PRIMARY KEY (shop_id, kind, year)
);

CREATE TABLE ticks (
    task TEXT COLLATE "C" NOT NULL,
    at TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (task, at)
);
