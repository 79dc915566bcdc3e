-- Schema 2: which entries rest on which instrument, so that one found out is recalled without reading every entry.

-- An index: everything here is worked out from entries and can be thrown away and built again.
CREATE TABLE uses (
    instrument TEXT NOT NULL,
    copy       INTEGER NOT NULL REFERENCES copies (copy),
    number     INTEGER NOT NULL,
    PRIMARY KEY (instrument, copy, number)
) STRICT, WITHOUT ROWID;

-- What stands in it: a reading under each instrument it names, a setting under its wrench, and a reading worked out from
-- others under the instruments of those. Bytes that are no JSON name none. CROSS JOIN holds the order: left to itself, SQLite
-- reads every entry of the rebuild for one that is new.
CREATE VIEW uses_found AS
SELECT CASE i.type WHEN 'object' THEN json_extract(i.value, '$.id') END AS instrument, e.copy AS copy, e.number AS number
  FROM entries e CROSS JOIN
       json_each(CASE WHEN json_valid(CAST(e.bytes AS TEXT)) THEN CAST(e.bytes AS TEXT) ELSE '{}' END, '$.body.instruments') i
 WHERE e.kind = 'reading/1'
UNION ALL
SELECT CASE WHEN json_valid(CAST(e.bytes AS TEXT)) THEN json_extract(CAST(e.bytes AS TEXT), '$.body.instrument.id') END,
       e.copy, e.number
  FROM entries e
 WHERE e.kind = 'setting/1'
UNION ALL
SELECT CASE i.type WHEN 'object' THEN json_extract(i.value, '$.id') END, e.copy, e.number
  FROM entries e CROSS JOIN
       json_each(CASE WHEN json_valid(CAST(e.bytes AS TEXT)) THEN CAST(e.bytes AS TEXT) ELSE '{}' END, '$.body.from') f CROSS JOIN
       entries o ON o.copy = e.copy AND o.number = f.value CROSS JOIN
       json_each(CASE WHEN json_valid(CAST(o.bytes AS TEXT)) THEN CAST(o.bytes AS TEXT) ELSE '{}' END, '$.body.instruments') i
 WHERE e.kind = 'reading/1';

INSERT OR IGNORE INTO uses (instrument, copy, number)
SELECT instrument, copy, number FROM uses_found WHERE instrument IS NOT NULL;

CREATE TRIGGER entries_use AFTER INSERT ON entries WHEN NEW.kind IN ('reading/1', 'setting/1') BEGIN
    INSERT OR IGNORE INTO uses (instrument, copy, number)
    SELECT instrument, copy, number FROM uses_found
     WHERE instrument IS NOT NULL AND copy = NEW.copy AND number = NEW.number;
END;
