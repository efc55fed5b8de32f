CREATE TABLE settings (
    name TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
);

CREATE TABLE keys (
    id TEXT NOT NULL PRIMARY KEY,
    purpose TEXT NOT NULL,
    secret BLOB NOT NULL,
    created_at TEXT NOT NULL,
    retired_at TEXT
);

CREATE TABLE shops (
    id BLOB NOT NULL PRIMARY KEY,
    name TEXT NOT NULL,
    time_zone TEXT NOT NULL,
    details TEXT NOT NULL,
    created_at TEXT NOT NULL,
    version BIGINT NOT NULL
);

CREATE TABLE people (
    id BLOB NOT NULL PRIMARY KEY,
    email TEXT NOT NULL UNIQUE,
    password TEXT NOT NULL,
    created_at TEXT NOT NULL
);

CREATE TABLE members (
    id BLOB NOT NULL PRIMARY KEY,
    shop_id BLOB NOT NULL REFERENCES shops (id),
    person_id BLOB NOT NULL REFERENCES people (id),
    name TEXT NOT NULL,
    email TEXT NOT NULL,
    role TEXT NOT NULL,
    disabled_at TEXT,
    created_at TEXT NOT NULL,
    version BIGINT NOT NULL,
    UNIQUE (shop_id, person_id)
);
CREATE INDEX members_by_person ON members (person_id);

CREATE TABLE sessions (
    id BLOB NOT NULL PRIMARY KEY,
    member_id BLOB NOT NULL REFERENCES members (id),
    generation BIGINT NOT NULL,
    rotated_at TEXT NOT NULL,
    expires_at TEXT NOT NULL,
    ended_at TEXT
);
CREATE INDEX sessions_by_member ON sessions (member_id);

CREATE TABLE counters (
    shop_id BLOB NOT NULL REFERENCES shops (id),
    kind TEXT NOT NULL,
    year INTEGER NOT NULL,
    value BIGINT NOT NULL,
    PRIMARY KEY (shop_id, kind, year)
);

CREATE TABLE ticks (
    task TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (task, at)
);
