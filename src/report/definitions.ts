import { type Section, term } from './block.ts'

const words: Readonly<Record<string, string>> = {
  Delivered:
    'Volume of drops whose purpose is fire. Jettison, emergency, training and ground-test volumes stand in rows of their own and are never mixed in.',
  'Canonical record':
    'What happened, once: the observations of a controller, a crew, a tracker, tickets and dispatch are aligned after each clock’s offset is taken out. A record is corroborated when two different witnesses attest it. Where they differ, each field is taken from the witness that knows it best, and the values that were beaten stay on record.',
  'Fire of a drop':
    'The fire that the log states; else the nearest active fire within its radius; else unattributed. Unattributed volume is a row of every table by fire, so that the rows add up to the total.',
  'Base of a drop': 'The base of the load it came from, not the nearest one.',
  'Flight hours of a fire or base':
    'Each flight’s airborne hours (wheels off to wheels on) are split over the drops it made on fires, in proportion to their gallons. Flights without such drops are in the row “no drop”.',
  'Gallons per hour': 'Only gallons whose flight is known are divided by hours; the others are shown beside.',
  Turnaround: 'From one load to the next of the same aircraft within one operating day.',
  'Operating day':
    'The local day of the operation; a drop in the evening on the west coast belongs to that day, although it is tomorrow in UTC.',
  'Interaction and success':
    'Interaction rate = drops that met fire / drops for which that is known. Success rate = effective / (effective + not effective). Unknown is never counted as either. Intervals are Wilson’s, 95 % (E. B. Wilson, Journal of the American Statistical Association 22, 1927).',
  'Row fates':
    'For every file, rows read = accepted + duplicate + superseded + quarantined. A quarantined row counts in nothing until what it lacks is known.',
  'Meter bias':
    'Loads that both a base’s meter and a tank’s gauge saw give pairs; the bias is against the fleet’s gauges, with a 95 % interval.',
  Counters:
    'total = baseline + counted + inferred. Counted are all openings that any witness recorded; inferred are those that the balance of the tank asks for and nobody wrote down. Drops of every purpose count. Due dates use the total: when in doubt, count it.',
  'Door cycle':
    'One opening seen by one door. Where a log does not name the doors, every door of the tank counts.',
  'Due dates':
    'A task may have several limits; whichever comes first governs. The 10 %, 50 % and 90 % dates come from simulated use that knows the shape of a season: one time in ten the limit comes before the first, one time in ten after the last.',
  Supported:
    'The quantity that loads, drops and hours on record bear out, at the contract’s price of that day. Inside the contract’s tolerance the billed quantity is supported.',
  'In dispute':
    'Sum of the differences where more is billed than supported. Under-billing and work never billed are shown apart and never netted. Of several findings on one line, one carries the amounts, so that a sum counts money once.',
  Money: 'Exact decimals throughout; nothing is rounded on the way.',
  Units:
    'Records are kept in US gallons, feet, knots and UTC. 1 US gal = 3.785411784 L, 1 ft = 0.3048 m, 1 NM = 1.852 km, all exact (NIST Handbook 44, 2024, Appendix C); a coverage level of 1 is 1 gallon per 100 square feet, or 0.4075 L/m².',
}

/** The section that says how each number came about. */
export function definitions(...names: string[]): Section {
  return {
    title: 'Method and definitions',
    blocks: names.map((name) => {
      const body = words[name]
      if (body === undefined) throw new Error(`no definition of ${name}`)
      return term(name, body)
    }),
  }
}
