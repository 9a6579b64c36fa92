-- title: Invoice findings
-- grain: one row per invoice line and finding, plus one row per contract, item, aircraft and day of unbilled work
-- params: season, from, to, aircraft, fluid, invoice, contract
-- columns:
--   invoice            invoice number; null for unbilled work
--   line               line of the invoice; null for unbilled work
--   contract           contract number
--   item               flight-hour, availability-day, gallon-delivered, gallon-loaded or fixed
--   aircraft           registration
--   finding            ok, arithmetic, rate, quantity-over, quantity-under, duplicate, no-evidence, outside-period, not-on-contract or unbilled
--   billed_quantity    quantity billed, in units of the item
--   supported_quantity quantity that the records bear out
--   billed_amount      amount billed
--   supported_amount   supported quantity at the contract's price
--   difference_amount  billed less supported
--   is_primary         true for the one finding of a line that carries its quantities and amounts; they are null on the others
--   currency           currency of the contract
--   from_on            first day billed
--   to_on              last day billed
--   ticket             ticket number as billed
--   fluid              fluid as billed
--   billed_price       unit price billed
--   contract_price     unit price of the contract; null where the line lies across several
--   evidence_quantity  quantity on record, before the contract's tolerance
--   let_go_gal         gal of the evidence let go in an emergency or jettison
--   emergency_rule     what the contract says of such loads: paid, unpaid, or nothing
--   message            why, in plain words
--   evidence           records and lines behind it
--   note_state         agreed, disputed or credited, as a person noted
--   note_by            who noted it
--   note_reason        why
-- note: A finding is a question to the other party, not a verdict: the contract's own terms and both parties' records decide.
-- note: Amounts of a line stand on its primary finding only, so that a sum counts money once. Currencies are not to be added.
WITH line AS (
  SELECT l.*, f.finding AS kind, f.place = 1 AS is_primary
  FROM contracts.line l, (SELECT unnest(l.findings) AS finding, generate_subscripts(l.findings, 1) AS place) f),
every AS (
  SELECT invoice, line, contract, item, aircraft, kind AS finding,
    CASE WHEN is_primary THEN billed_quantity END AS billed_quantity, CASE WHEN is_primary THEN supported_quantity END AS supported_quantity,
    CASE WHEN is_primary THEN billed_amount END AS billed_amount, CASE WHEN is_primary THEN supported_amount END AS supported_amount,
    CASE WHEN is_primary THEN difference_amount END AS difference_amount, is_primary, currency, from_on, to_on, ticket, fluid,
    billed_price, contract_price, CASE WHEN is_primary THEN evidence_quantity END AS evidence_quantity,
    CASE WHEN is_primary THEN let_go_quantity END AS let_go_gal, emergency_rule, message, evidence, season, difference_amount AS money
  FROM line
  UNION ALL
  SELECT NULL, NULL, contract, item, aircraft, 'unbilled', NULL, quantity, NULL, amount, -amount, true, currency, day, day, NULL, fluid,
    NULL, NULL, quantity, let_go_quantity, emergency_rule, format('{} on record, on no invoice', contracts.said(quantity)), evidence, season, -amount
  FROM contracts.unbilled)
SELECT e.invoice, e.line, e.contract, e.item, e.aircraft, e.finding, e.billed_quantity::DOUBLE AS billed_quantity,
  e.supported_quantity::DOUBLE AS supported_quantity, e.billed_amount, e.supported_amount, e.difference_amount, e.is_primary, e.currency,
  e.from_on, e.to_on, e.ticket, e.fluid, e.billed_price, e.contract_price, e.evidence_quantity::DOUBLE AS evidence_quantity,
  e.let_go_gal::DOUBLE AS let_go_gal, e.emergency_rule, e.message, e.evidence, n.note_state, n.note_by, n.note_reason
FROM every e LEFT JOIN contracts.note n ON n.contract = e.contract AND n.invoice = e.invoice AND n.line = e.line
WHERE ($season IS NULL OR e.season = $season OR year(e.from_on)::VARCHAR = $season)
  AND ($from IS NULL OR e.to_on >= $from::DATE) AND ($to IS NULL OR e.from_on <= $to::DATE)
  AND ($aircraft IS NULL OR e.aircraft = $aircraft) AND ($fluid IS NULL OR e.fluid = $fluid)
  AND ($invoice IS NULL OR e.invoice = $invoice) AND ($contract IS NULL OR e.contract = $contract)
ORDER BY abs(e.money) DESC, e.contract, e.invoice, contracts.natural_key(e.line), e.line, e.is_primary DESC, e.finding, e.from_on, e.item, e.aircraft
