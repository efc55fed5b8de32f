-- What owners answered when they were asked to come.
CREATE TABLE answers (
    id UUID NOT NULL PRIMARY KEY,
    shop_id UUID NOT NULL REFERENCES shops (id),
    vehicle_id UUID NOT NULL REFERENCES vehicles (id),
    warranty_id UUID NOT NULL REFERENCES warranties (id),
    upkeep TEXT COLLATE "C" NOT NULL,
    number INTEGER NOT NULL,
    answer TEXT COLLATE "C" NOT NULL,
    on_day DATE NOT NULL,
    note TEXT COLLATE "C",
    entered_at TEXT COLLATE "C" NOT NULL,
    entered_by UUID NOT NULL REFERENCES members (id)
);
CREATE INDEX answers_by_warranty ON answers (warranty_id, upkeep, number);
