-- A log as the first layout left it, with two entries in it. Never edit: it stands for files in the field.
CREATE TABLE schema_change (number INTEGER PRIMARY KEY, name TEXT NOT NULL, made TEXT NOT NULL);
CREATE TABLE entry (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    batch INTEGER REFERENCES entry (id),
    happened TEXT NOT NULL,
    said TEXT NOT NULL,
    heard TEXT NOT NULL,
    act TEXT NOT NULL,
    slots TEXT NOT NULL,
    refers INTEGER REFERENCES entry (id)
);
CREATE TRIGGER entry_unchanged BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'the log is append only'); END;
CREATE TRIGGER entry_undeleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'the log is append only'); END;
CREATE TRIGGER entry_unreplaced BEFORE INSERT ON entry WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'the log is append only'); END;
INSERT INTO schema_change VALUES (1, 'add_entries', '2026-10-01T12:00:00+00:00');
INSERT INTO entry VALUES (1, 1, '2026-10-10T08:30:00-04:00', '2026-10-10T08:30:00-04:00',
    'new batch called Harvest Amber, 5 gallons', 'new_batch',
    '{"name": "harvest amber", "volume": [5.0, "gallon"]}', NULL);
INSERT INTO entry VALUES (2, 1, '2026-10-10T09:58:00-04:00', '2026-10-10T09:59:00-04:00',
    'boil''s on', 'log_event', '{"event": "boil_start"}', NULL);
