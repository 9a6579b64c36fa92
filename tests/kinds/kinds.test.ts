import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { fieldName, kindOf, kinds, precedence, witnesses } from '../../src/kinds/index.ts'
import { manualPages } from './manual-pages.ts'

/** The columns that files, profiles and people's own queries rely on; a star is required. */
const promised: Readonly<Record<string, string>> = {
  aircraft: 'registration* call_number type_designator class max_load_gal max_speed_kt aliases',
  tank: 'serial* part_number capacity_gal* doors* door_use flow peak_flow_gal_s pattern_width_ft aliases',
  mounting: 'tank* aircraft* on_at* off_at',
  component: 'serial* kind* part_number',
  fitting: 'component* tank* position* on_at* off_at',
  baseline: 'item* counter* value* counted_at*',
  base: 'code* name zone* latitude longitude meter_class aliases',
  season: 'name* starts_on* ends_on*',
  fire: 'number* name latitude longitude started_at ended_at fuel radius_nm aliases',
  contract:
    'number* starts_on* ends_on* aircraft* currency* volume_tolerance_pct hours_step hours_rounding hours_per emergency_rule zone',
  rate: 'contract* item* fluid unit_price* from_quantity to_quantity starts_on ends_on',
  'invoice-line':
    'invoice* line* contract* item* aircraft from_on* to_on ticket fluid quantity* unit_price* amount*',
  availability: 'aircraft* day* status* contract',
  task: 'task* title repeats applies_to* counter* interval threshold tolerance early_policy triggered_by within',
  accomplishment: 'task* item* done_at* reading note',
  load: 'loaded_at* started_at aircraft* base ticket volume_gal* target_gal overflow fluid method witness record gauge_before_gal gauge_after_gal',
  offload: 'offloaded_at* aircraft* base volume_gal* fluid witness record',
  drop: 'dropped_at* aircraft* volume_gal commanded_gal coverage_level fraction fluid purpose doors openings latitude longitude height_ft groundspeed_kt duration_s fire witness record',
  flight: 'off_at* on_at* aircraft* hours ordered_at from_base to_base witness record',
  assessment:
    'assessed_at* aircraft* record fire fuel objective met_fire effective line_ft observer_role wind_kt',
  position: 'aircraft* seen_at* latitude* longitude* altitude_ft groundspeed_kt event witness',
  extension: 'task* item* counter* limit* authority* expires_on',
  adjustment: 'tank* adjusted_at* subject* before after note',
  trace: 'aircraft* record* t_s* level_gal* groundspeed_kt height_ft door_pct',
}

describe('record kinds', () => {
  test.each(Object.entries(promised))('%s keeps its columns and what it requires', (name, columns) => {
    const given = kinds
      .find((kind) => kind.name === name)
      ?.columns.map((column) => `${column.name}${column.required ? '*' : ''}`)
    expect(given).toEqual(columns.split(' '))
  })

  test('there is no kind besides', () => {
    expect(kinds.map((kind) => kind.name).sort()).toEqual(Object.keys(promised).sort())
  })

  test('no two columns of a kind have one name in a profile', () => {
    for (const kind of kinds) {
      const names = kind.columns.map((column) => fieldName(column.name))
      expect([kind.name, names.length]).toEqual([kind.name, new Set(names).size])
    }
  })

  test('a key and a time are columns of their kind', () => {
    for (const kind of kinds) {
      const names = kind.columns.map((column) => column.name)
      const named =
        kind.key.by === 'columns' ? kind.key.columns.map((one) => /\((\w+)\)/.exec(one)?.[1] ?? one) : []
      for (const one of [...named, ...(kind.time ? [kind.time] : [])])
        expect([kind.name, one, names.includes(one)]).toEqual([kind.name, one, true])
    }
  })

  test('precedence names columns of its kind, each witness once', () => {
    for (const [name, fields] of Object.entries(precedence)) {
      const columns = kindOf(name as 'drop').columns.map((column) => column.name)
      for (const [field, order] of Object.entries(fields)) {
        const stands = field === 'position' ? ['latitude', 'longitude'] : [field]
        for (const column of stands) expect(columns).toContain(column)
        expect(order).toHaveLength(new Set(order).size)
        for (const witness of order) expect(witnesses).toContain(witness)
      }
    }
  })
})

test.each(manualPages().map((page) => [page.path.split('/').slice(-2).join('/'), page] as const))(
  '%s stands as the code says (npm run manual writes it)',
  (_, page) => {
    expect(readFileSync(page.path, 'utf8')).toBe(page.text)
  },
)
