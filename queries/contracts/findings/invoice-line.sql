-- Every invoice line that the records do not bear out, and why.
SELECT 'invoice-' || f.finding AS finding, CASE WHEN f.place = 1 AND l.difference_amount <> 0 THEN 'warning' ELSE 'note' END AS severity,
  contracts.line_subject(l.contract, l.invoice, l.line) AS subject, l.from_on::TIMESTAMP AS happened_at,
  format('{} {} billed, {} borne out: {}', contracts.money(l.billed_amount), l.currency, contracts.money(l.supported_amount), l.message) AS message,
  list_concat(['invoice-line:' || concat_ws('/', l.contract, l.invoice, l.line)], l.evidence[1:100]) AS evidence, l.aircraft
FROM (FROM contracts.line l WHERE findings <> ['ok'] AND is_asked_line(contract, invoice, line)) l, (SELECT unnest(l.findings) AS finding, generate_subscripts(l.findings, 1) AS place) f
WHERE f.finding <> 'ok'
ORDER BY l.contract, l.invoice, l.line, f.place
