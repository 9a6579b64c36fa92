import type { Warehouse } from '../../src/warehouse/index.ts'

/** Doors with seals, an inspection programme, contracts and a season's invoice lines for the fleet of `fillLedger`. */
export async function fillPapers(warehouse: Warehouse, fleet: number): Promise<void> {
  await warehouse.run(`
    INSERT INTO obs.component(obs_no, fate, serial, kind)
    SELECT 5000000 + row_number() OVER (), 'accepted', k || '-' || a || '-' || d, k FROM range(${fleet}) x(a), range(1, 5) y(d), (VALUES ('door'), ('seal')) z(k);
    INSERT INTO obs.fitting(obs_no, fate, component, tank, position, on_at)
    SELECT 5100000 + row_number() OVER (), 'accepted', k || '-' || a || '-' || d, 'K-' || a, 'door-' || d, TIMESTAMP '2019-05-01'
    FROM range(${fleet}) x(a), range(1, 5) y(d), (VALUES ('door'), ('seal')) z(k);
    INSERT INTO obs.task(obs_no, fate, task, applies_to, counter, "interval", tolerance)
    SELECT 5200000 + row_number() OVER (), 'accepted', k || '-' || n, k, c, (100 * n)::VARCHAR, 5
    FROM (VALUES ('door', 'door-cycles'), ('seal', 'retardant-openings'), ('tank', 'openings')) t(k, c), range(1, 4) r(n);
    INSERT INTO obs.accomplishment(obs_no, fate, task, item, done_at)
    SELECT 5300000 + row_number() OVER (), 'accepted', 'door-1', 'door-' || a || '-' || d, TIMESTAMP '2021-05-01' FROM range(${fleet}) x(a), range(1, 5) y(d);
    INSERT INTO obs.contract(obs_no, fate, number, starts_on, ends_on, aircraft, currency, volume_tolerance_pct)
    SELECT 5400000 + c, 'accepted', 'C-' || c, DATE '2020-01-01', DATE '2024-12-31',
      list_transform(range(5), lambda a: 'N' || (100 + c * 5 + a) || 'ZY'), 'USD', 2 FROM range(${fleet} // 5) r(c);
    INSERT INTO obs.rate(obs_no, fate, contract, item, unit_price)
    SELECT 5500000 + row_number() OVER (), 'accepted', 'C-' || c, item, price FROM range(${fleet} // 5) r(c),
      (VALUES ('gallon-loaded', 3.25), ('flight-hour', 9800)) p(item, price);
    INSERT INTO obs.invoice_line(obs_no, fate, contract, invoice, line, item, aircraft, from_on, ticket, quantity, unit_price, amount)
    SELECT 5600000 + row_number() OVER (ORDER BY loaded_at, load), 'accepted', 'C-' || ((substr(aircraft, 2, 3)::INTEGER - 100) // 5),
      'I-' || strftime(loaded_at, '%Y%m'), load, 'gallon-loaded', aircraft, loaded_at::DATE, ticket, volume_gal, 3.25, round(volume_gal * 3.25, 2)
    FROM ledger.load WHERE year(loaded_at) = 2024`)
}
