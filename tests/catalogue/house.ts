import { fileURLToPath } from 'node:url'
import { type CatalogueOptions, loadCatalogue } from '../../src/catalogue/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'

const schema = `
CREATE SCHEMA answers;
CREATE TABLE answers.drop(
  fire VARCHAR, season VARCHAR, fluid VARCHAR, dropped_at TIMESTAMP, volume_gal DOUBLE, cost DECIMAL(18,2), price DECIMAL(18,6));
CREATE TABLE answers.prepared(as_of VARCHAR);
CREATE MACRO answers.drops_of(wanted) AS TABLE SELECT * FROM answers.drop WHERE wanted IS NULL OR fluid = wanted;
INSERT INTO answers.drop VALUES
  ('F-1', '2026', 'retardant', '2026-07-04 20:05:00', 900.5, 1200.10, 4.5),
  ('F-1', '2026', 'water', '2026-07-05 01:00:00.250', 300, 0.05, 1.25),
  ('=F-2', '2026', 'water', '2026-07-06 10:00:00', 120, -17.5, NULL),
  (NULL, '2025', 'gel', '2025-08-01 00:00:00', NULL, NULL, NULL);
`

/** A warehouse of four drops, for the questions in this folder. */
export function house(): Promise<Warehouse> {
  return Warehouse.memory([schema])
}

export const builtInFolder: string = fileURLToPath(new URL('questions', import.meta.url))
export const userFolder: string = fileURLToPath(new URL('users', import.meta.url))

export function catalogueOf(options: Partial<CatalogueOptions> = {}) {
  return loadCatalogue({ folders: { builtIn: builtInFolder, user: [userFolder] }, ...options })
}
