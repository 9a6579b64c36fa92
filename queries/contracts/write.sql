-- Results: every line with its verdict and evidence, and the work that no line bills.
DELETE FROM contracts.unbilled WHERE is_asked_item(item) AND is_asked_plane(aircraft) AND is_asked_day(day);
DELETE FROM contracts.loaded_on_day WHERE is_asked_plane(aircraft) AND is_asked_day(day);

-- Lines that another line's message names.
CREATE OR REPLACE TEMP TABLE named AS
SELECT bill_no, invoice || ' line ' || line AS name, 'invoice-line:' || concat_ws('/', contract, invoice, line) AS ref
FROM bill SEMI JOIN (
  SELECT bill_no FROM bill WHERE is_credit OR cancelled_by IS NOT NULL UNION SELECT corrects FROM credited
  UNION SELECT coalesce(billed_on, bill_no) FROM judged WHERE refusal = 'duplicate') USING (bill_no);

CREATE OR REPLACE TEMP TABLE bill_season AS
SELECT from_on, coalesce(min(s.name), year(from_on)::VARCHAR) AS season
FROM (SELECT DISTINCT from_on FROM bill) LEFT JOIN season_of s ON from_on BETWEEN s.starts_on AND s.ends_on GROUP BY from_on;

CREATE OR REPLACE TEMP TABLE fresh_line AS FROM contracts.line LIMIT 0;
INSERT INTO fresh_line
SELECT s.contract, s.invoice, s.line, s.item, s.aircraft, coalesce(s.currency, 'unknown'), s.from_on, s.to_on,
  y.season,
  s.ticket, s.fluid, s.findings[1], s.findings,
  s.quantity AS billed_quantity,
  CASE WHEN s.cancelled_by IS NOT NULL OR s.cancels IS NOT NULL THEN s.quantity
    WHEN s.is_credit THEN CASE WHEN s.amount <> 0 AND s.supported_amount = s.amount THEN s.quantity
      ELSE round(s.quantity::DECIMAL(38,6) * s.supported_amount / nullif(s.amount, 0), 6) END
    WHEN s.is_weighed THEN CASE WHEN s.taken > 0 AND s.difference_amount = 0 THEN s.quantity ELSE s.supported END ELSE 0 END::DECIMAL(18,6),
  CASE WHEN s.is_weighed THEN s.evidence_quantity END::DECIMAL(18,6), CASE WHEN s.is_weighed AND s.let_go > 0 THEN s.let_go END::DECIMAL(18,6), s.emergency_rule,
  s.unit_price, CASE WHEN s.is_weighed AND s.prices = 1 THEN s.low_price WHEN s.is_weighed AND s.prices = 0 AND len(s.day_prices) = 1 THEN s.day_prices[1] END,
  s.amount, s.supported_amount, s.difference_amount,
  concat_ws('; ',
    CASE s.refusal
      WHEN 'not-on-contract' THEN coalesce(s.off_contract, format('contract {} has no price for it on {}', s.contract, coalesce(s.hit_day, s.from_on)))
      WHEN 'outside-period' THEN CASE WHEN s.is_outside THEN 'the days billed are outside the contract''s period'
        ELSE format('{} of ticket {} was on {}, outside the contract''s period', s.hit_fill, s.ticket, s.hit_day) END
      WHEN 'no-evidence' THEN CASE WHEN s.is_gallons AND s.ticket_key IS NOT NULL THEN format('no load of {} has ticket {}', coalesce(s.aircraft, 'the contract'), s.ticket)
        ELSE format('nothing on record for {} of {} in these days', s.item, coalesce(s.aircraft, 'the contract')) END
      WHEN 'duplicate' THEN format('already billed on {}', coalesce(f.name, 'another line'))
    END,
    CASE WHEN s.is_weighed AND s.apart <> 0 THEN format('{} billed, {} on record', contracts.plain(s.quantity), contracts.said(s.evidence_quantity))
      WHEN s.is_weighed AND s.quantity <> s.evidence_quantity AND abs(s.quantity - s.evidence_quantity) > 0.0005
        THEN format('{} billed, {} on record, inside {} %', contracts.plain(s.quantity), contracts.said(s.evidence_quantity), contracts.plain(s.tolerance_pct)) END,
    CASE WHEN s.is_weighed AND s.let_go > 0 THEN format('{} gal of it were let go in an emergency or jettison, which the contract {}', contracts.said(s.let_go),
      CASE WHEN s.emergency_rule = 'paid' THEN 'pays' WHEN s.emergency_rule = 'unpaid' THEN 'does not pay' WHEN s.item = 'gallon-loaded' THEN 'says nothing about: counted as loaded' ELSE 'says nothing about: not counted as delivered' END) END,
    CASE WHEN s.is_rate THEN CASE WHEN s.is_weighed AND s.prices > 1 THEN format('the line lies across prices {} to {}', contracts.plain(s.low_price), contracts.plain(s.high_price))
      ELSE format('priced at {}, the contract says {}', contracts.plain(s.unit_price),
        CASE WHEN s.is_weighed AND s.prices = 1 THEN contracts.plain(s.low_price) ELSE array_to_string(list_transform(list_sort(s.day_prices), lambda p: contracts.plain(p)), ' or ') END) END
      WHEN s.is_weighed AND s.prices > 1 THEN format('across prices {} to {}, split', contracts.plain(s.low_price), contracts.plain(s.high_price)) END,
    CASE WHEN s.is_arithmetic THEN format('{} × {} is {}, not {}', contracts.plain(s.quantity), contracts.plain(s.unit_price), contracts.money(s.product), contracts.money(s.amount)) END,
    CASE WHEN s.cancelled_by IS NOT NULL THEN format('taken back by {}', g.name) END,
    CASE WHEN s.cancels IS NOT NULL THEN format('takes back {}', x.name) END,
    CASE WHEN s.is_credit AND s.cancels IS NULL THEN CASE WHEN s.corrects IS NULL THEN 'no line found that this credit corrects'
      ELSE format('corrects {}: {} was in dispute there', n.name, contracts.money(s.accepted)) END END,
    CASE WHEN s.taken > 0 THEN format('{} credited by {}', contracts.money(s.taken), t.name) END) AS message,
  list_concat(coalesce(p.evidence, []), list_filter([
    f.ref, g.ref, x.ref, n.ref,
    t.ref], lambda x: x IS NOT NULL))
FROM settled s LEFT JOIN bill_season y ON y.from_on = s.from_on
LEFT JOIN pool p ON p.group_no = s.group_no
LEFT JOIN named f ON f.bill_no = CASE WHEN s.refusal = 'duplicate' THEN s.billed_on END
LEFT JOIN named n ON n.bill_no = s.corrects
LEFT JOIN named g ON g.bill_no = s.cancelled_by
LEFT JOIN named x ON x.bill_no = s.cancels
LEFT JOIN named t ON t.bill_no = s.notes[1]
ORDER BY s.bill_no;

-- Of very many lines few come out otherwise than before: only those are written.
CREATE OR REPLACE TEMP TABLE same_line AS
SELECT l.contract, l.invoice, l.line FROM contracts.line l JOIN fresh_line f ON f.contract = l.contract AND f.invoice = l.invoice AND f.line = l.line
WHERE NOT is_all_asked() AND (l.aircraft IS NULL OR is_asked_plane(l.aircraft)) AND hash(l) = hash(f);
DELETE FROM contracts.line WHERE is_asked_line(contract, invoice, line) AND (contract, invoice, line) NOT IN (SELECT (contract, invoice, line) FROM same_line);
INSERT INTO contracts.line FROM fresh_line WHERE (contract, invoice, line) NOT IN (SELECT (contract, invoice, line) FROM same_line);

INSERT INTO contracts.unbilled
WITH loose AS (
  SELECT p.term_no, p.day, min(p.season) AS season, CASE WHEN min(p.fluid) = max(p.fluid) THEN min(p.fluid) END AS fluid,
    sum(p.quantity)::DECIMAL(18,6) AS quantity, nullif(sum(p.let_go), 0)::DECIMAL(18,6) AS let_go, list_sort(list(t.kind || ':' || p.id)) AS evidence
  FROM priced p JOIN term t ON t.term_no = p.term_no WHERE p.group_no IS NULL GROUP BY p.term_no, p.day),
worth AS (
  SELECT term_no, day, contracts.cents(sum(contracts.times(at_to - at_from, unit_price))) AS amount
  FROM segment WHERE group_no IS NULL GROUP BY term_no, day)
SELECT t.contract, t.item, t.plane, l.day, l.season, t.currency, l.fluid, l.quantity, l.let_go, t.emergency_rule, w.amount, l.evidence
FROM loose l JOIN worth w ON w.term_no = l.term_no AND w.day = l.day JOIN term t ON t.term_no = l.term_no
ORDER BY t.contract, t.item, t.plane, l.day;

INSERT INTO contracts.loaded_on_day
SELECT s.base, t.contract, t.plane, s.day, s.season, t.currency, s.unit_price, count(*) FILTER (s.at_from = 0), sum(s.at_to - s.at_from)::DECIMAL(38,6)
FROM segment s JOIN term t ON t.term_no = s.term_no WHERE s.base IS NOT NULL AND t.kind = 'load'
GROUP BY s.base, t.contract, t.plane, s.day, s.season, t.currency, s.unit_price ORDER BY t.contract, t.plane, s.day, s.base, s.unit_price;
