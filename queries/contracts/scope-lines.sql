-- The lines that may rest on those days.
CREATE OR REPLACE TEMP TABLE bill AS
SELECT * EXCLUDE (subject) FROM contracts.bill
WHERE is_asked_item(item) AND to_on + CASE WHEN is_gallons AND ticket_key IS NOT NULL THEN 31 ELSE 0 END >= asked_from()
  AND (is_asked_plane(aircraft)
    OR aircraft IS NULL AND contract IN (SELECT contract FROM deal_aircraft WHERE is_asked_plane(aircraft)));

CREATE OR REPLACE TEMP TABLE scope_line AS SELECT contract, invoice, line FROM bill;
CREATE OR REPLACE TEMP MACRO is_asked_line(c, i, l) AS (c, i, l) IN (SELECT (contract, invoice, line) FROM scope_line);
