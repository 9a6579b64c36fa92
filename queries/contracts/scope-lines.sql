-- The lines that rest on those days.
CREATE OR REPLACE TEMP TABLE bill AS
SELECT * EXCLUDE (subject) FROM contracts.bill
WHERE bill_no IN (SELECT bill_no FROM scope_span WHERE low_on <= asked_to() AND high_on >= asked_from());

CREATE OR REPLACE TEMP TABLE scope_line AS SELECT contract, invoice, line FROM bill;
CREATE OR REPLACE TEMP MACRO is_asked_line(c, i, l) AS (c, i, l) IN (SELECT (contract, invoice, line) FROM scope_line);
