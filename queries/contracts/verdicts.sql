-- One verdict per line: what it should have said, and why it was questioned. `refusal` is why nothing of it is borne out.
CREATE OR REPLACE TEMP TABLE priced_on AS
SELECT contract, item, day, list(DISTINCT unit_price) AS prices FROM tier_day GROUP BY contract, item, day;

CREATE OR REPLACE TEMP TABLE judged AS
WITH joined AS (
  SELECT b.*, c.group_no, p.claimed, p.owned, p.quantity AS pool_quantity, p.let_go,
    CASE WHEN v.is_duplicate AND p.owned > 0 THEN c.group_no ELSE p.other_group END AS billed_on,
    v.evidence AS evidence_quantity, v.is_duplicate, v.is_within, v.supported, v.supported_amount AS valued_amount, v.expected_amount, v.prices, v.low_price, v.high_price,
    h.bill_no IS NOT NULL AS is_ticket_found, h.is_inside AS is_hit_inside, h.price_no AS hit_price, h.fill AS hit_fill, h.day AS hit_day,
    o.prices AS day_prices, contracts.cents(contracts.times(b.quantity, b.unit_price)) AS product
  FROM bill b LEFT JOIN claimant c ON c.bill_no = b.bill_no LEFT JOIN pool p ON p.group_no = c.group_no
  LEFT JOIN valued v ON v.bill_no = b.bill_no LEFT JOIN ticket_hit h ON h.bill_no = b.bill_no
  LEFT JOIN priced_on o ON o.contract = b.contract AND o.item = b.item AND o.day = b.from_on),
refused AS (
  SELECT *, CASE
    WHEN is_credit OR cancelled_by IS NOT NULL THEN NULL
    WHEN off_contract IS NOT NULL THEN 'not-on-contract'
    WHEN is_outside OR NOT coalesce(is_hit_inside, true) THEN 'outside-period'
    WHEN is_ticket_found AND hit_price IS NULL THEN 'not-on-contract'
    WHEN claimed IS NULL AND day_prices IS NULL THEN 'not-on-contract'
    WHEN claimed IS NULL THEN 'no-evidence'
    WHEN owned = 0 OR is_duplicate THEN 'duplicate' END AS refusal
  FROM joined)
SELECT *,
  (refusal IS NULL AND NOT is_credit AND cancelled_by IS NULL) AS is_weighed,
  CASE WHEN cancelled_by IS NOT NULL THEN amount WHEN refusal IS NULL AND NOT is_credit THEN valued_amount ELSE 0 END::DECIMAL(18,2) AS borne_amount,
  CASE WHEN is_credit OR cancelled_by IS NOT NULL THEN false
    WHEN refusal IS NOT NULL OR coalesce(prices, 0) = 0 THEN day_prices IS NOT NULL AND NOT list_contains(day_prices, unit_price)
    WHEN prices = 1 THEN unit_price <> low_price
    ELSE product <> expected_amount AND amount <> expected_amount END AS is_rate,
  cancelled_by IS NULL AND product <> amount AND NOT coalesce(prices > 1 AND refusal IS NULL AND amount = expected_amount, false) AS is_arithmetic,
  CASE WHEN refusal IS NULL AND NOT is_credit AND cancelled_by IS NULL AND NOT is_within THEN sign(quantity - evidence_quantity) ELSE 0 END AS apart
FROM refused;

-- A credit note that takes back a part is set against what is in dispute on the line that it corrects.
CREATE OR REPLACE TEMP TABLE credited AS
WITH pair AS (
  SELECT n.bill_no, l.bill_no AS corrects, greatest(0, -n.amount) AS credit, greatest(0, l.amount - l.borne_amount) AS dispute
  FROM judged n JOIN judged l ON l.contract = n.contract AND l.item = n.item AND NOT l.is_credit AND l.cancelled_by IS NULL
    AND CASE WHEN n.ticket_key IS NOT NULL THEN l.ticket_key = n.ticket_key AND (n.aircraft IS NULL OR l.aircraft IS NULL OR l.aircraft = n.aircraft)
      ELSE l.aircraft IS NOT DISTINCT FROM n.aircraft AND l.from_on <= n.to_on AND l.to_on >= n.from_on AND (n.fluid IS NULL OR l.fluid IS NOT DISTINCT FROM n.fluid) END
  WHERE n.is_credit AND n.bill_no NOT IN (SELECT cancelled_by FROM bill WHERE cancelled_by IS NOT NULL)
  QUALIFY row_number() OVER (PARTITION BY n.bill_no
    ORDER BY l.from_on <> n.from_on OR l.to_on <> n.to_on, l.amount - l.borne_amount < -n.amount, l.amount - l.borne_amount DESC, l.bill_no) = 1)
SELECT bill_no, corrects, least(sum(credit) OVER run, dispute) - least(sum(credit) OVER run - credit, dispute) AS accepted
FROM pair WINDOW run AS (PARTITION BY corrects ORDER BY bill_no ROWS UNBOUNDED PRECEDING);

CREATE OR REPLACE TEMP VIEW settled AS
WITH taken AS (SELECT corrects, sum(accepted) AS accepted, list(bill_no ORDER BY bill_no) AS notes FROM credited GROUP BY corrects),
cancelling AS (SELECT cancelled_by AS bill_no, bill_no AS cancels FROM bill WHERE cancelled_by IS NOT NULL),
weighed AS (
  SELECT j.*, c.corrects, c.accepted, t.accepted AS taken, t.notes, x.cancels,
    (CASE WHEN x.cancels IS NOT NULL THEN j.amount WHEN j.is_credit THEN -coalesce(c.accepted, 0)
      ELSE j.borne_amount + coalesce(t.accepted, 0) END)::DECIMAL(18,2) AS supported_amount
  FROM judged j LEFT JOIN credited c ON c.bill_no = j.bill_no LEFT JOIN taken t ON t.corrects = j.bill_no LEFT JOIN cancelling x ON x.bill_no = j.bill_no),
found AS (
  SELECT *, amount - supported_amount AS difference_amount,
    -- What each finding of a weighed line is worth: the largest is the primary one.
    abs(coalesce(expected_amount, 0) - coalesce(valued_amount, 0)) AS quantity_worth, abs(product - coalesce(expected_amount, 0)) AS rate_worth, abs(amount - product) AS arithmetic_worth,
    list_filter([
      refusal,
      CASE WHEN is_credit AND cancels IS NULL AND corrects IS NULL THEN 'no-evidence' END,
      CASE WHEN is_credit AND cancels IS NULL AND corrects IS NOT NULL AND amount < supported_amount THEN 'quantity-under' END,
      CASE WHEN apart > 0 THEN 'quantity-over' WHEN apart < 0 THEN 'quantity-under' END,
      CASE WHEN is_rate THEN 'rate' END, CASE WHEN is_arithmetic THEN 'arithmetic' END], lambda f: f IS NOT NULL) AS kinds
  FROM weighed)
SELECT *, CASE
    WHEN len(kinds) = 0 THEN ['ok']
    WHEN taken > 0 AND difference_amount = 0 THEN list_concat(['ok'], kinds)
    WHEN len(kinds) = 1 OR NOT is_weighed THEN kinds
    ELSE list_transform(list_reverse_sort(list_transform(kinds, lambda f: {
      'worth': CASE f WHEN 'rate' THEN rate_worth WHEN 'arithmetic' THEN arithmetic_worth ELSE quantity_worth END,
      'place': CASE f WHEN 'rate' THEN 2 WHEN 'arithmetic' THEN 1 ELSE 3 END, 'kind': f})), lambda w: w.kind) END AS findings
FROM found;
