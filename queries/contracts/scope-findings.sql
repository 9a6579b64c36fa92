-- What is told anew: the lines that were looked at, and the work that stood or stands unbilled on those days, with all that
-- has the same name.
CREATE OR REPLACE TEMP TABLE scope_subject AS
SELECT subject FROM contracts.bill WHERE bill_no IN (SELECT bill_no FROM bill) UNION SELECT subject FROM scope_work;

CREATE OR REPLACE TEMP TABLE scope_line AS
SELECT contract, invoice, line FROM contracts.bill WHERE subject IN (FROM scope_subject);

CREATE OR REPLACE TEMP TABLE scope_work AS
SELECT contract, item, aircraft, season, contracts.work_subject(item, aircraft, contract, season) AS subject
FROM (SELECT DISTINCT contract, item, aircraft, season FROM contracts.unbilled)
WHERE contracts.work_subject(item, aircraft, contract, season) IN (FROM scope_subject);
CREATE OR REPLACE TEMP MACRO is_asked_work(c, i, a, s) AS (c, i, a, s) IN (SELECT (contract, item, aircraft, season) FROM scope_work);

DELETE FROM contracts.finding WHERE subject IN (FROM scope_subject) AND (finding LIKE 'invoice-%' OR finding = 'never-billed')
  OR finding NOT LIKE 'invoice-%' AND finding <> 'never-billed';
