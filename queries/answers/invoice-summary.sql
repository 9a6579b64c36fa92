-- title: Invoices
-- grain: one row per invoice
-- params: season, from, to, aircraft, invoice, contract
-- columns:
--   invoice          invoice number
--   contract         contract number
--   billed           sum of the amounts billed
--   supported        sum of the amounts that the records bear out
--   difference       billed less supported
--   in_dispute       what is billed above what is supported, line by line
--   under_billed     what is billed below what is supported, line by line; never netted against the dispute
--   currency         currency of the contract
--   lines            lines of the invoice
--   questioned       lines with another finding than ok
--   agreed           lines noted as agreed
--   disputed         lines noted as disputed
--   credited         lines noted as credited
--   first_on         first day billed
--   last_on          last day billed
-- note: Unbilled work stands on no invoice: see invoice-findings and invoice-totals. Currencies are not to be added.
SELECT l.invoice, l.contract, sum(l.billed_amount)::DECIMAL(18,2) AS billed, sum(l.supported_amount)::DECIMAL(18,2) AS supported,
  sum(l.difference_amount)::DECIMAL(18,2) AS difference, sum(greatest(l.difference_amount, 0))::DECIMAL(18,2) AS in_dispute,
  sum(greatest(-l.difference_amount, 0))::DECIMAL(18,2) AS under_billed, l.currency, count(*) AS lines,
  count(*) FILTER (l.finding <> 'ok') AS questioned, count(*) FILTER (n.note_state = 'agreed') AS agreed,
  count(*) FILTER (n.note_state = 'disputed') AS disputed, count(*) FILTER (n.note_state = 'credited') AS credited,
  min(l.from_on) AS first_on, max(l.to_on) AS last_on
FROM contracts.line l LEFT JOIN contracts.note n ON n.contract = l.contract AND n.invoice = l.invoice AND n.line = l.line
WHERE ($season IS NULL OR l.season = $season OR year(l.from_on)::VARCHAR = $season)
  AND ($from IS NULL OR l.to_on >= $from::DATE) AND ($to IS NULL OR l.from_on <= $to::DATE)
  AND ($aircraft IS NULL OR l.aircraft = $aircraft)
  AND ($invoice IS NULL OR l.invoice = $invoice) AND ($contract IS NULL OR l.contract = $contract)
GROUP BY l.invoice, l.contract, l.currency
ORDER BY first_on, l.contract, contracts.natural_key(l.invoice), l.invoice
