import type { Witness } from './kind.ts'

const measured: readonly Witness[] = ['controller', 'tracker', 'crew', 'dispatch', 'ticket']
const told: readonly Witness[] = ['crew', 'dispatch', 'controller', 'tracker', 'ticket']

/**
 * Whose word counts first for a field of a canonical record, best first. `manual` goes before all others.
 * A witness that is not named comes last, so that a lone claim is never lost.
 */
export const precedence = {
  drop: {
    dropped_at: measured,
    volume_gal: measured,
    commanded_gal: measured,
    doors: measured,
    openings: measured,
    coverage_level: measured,
    fraction: measured,
    duration_s: measured,
    height_ft: measured,
    groundspeed_kt: measured,
    position: ['tracker', 'controller', 'crew', 'dispatch', 'ticket'],
    fluid: ['crew', 'controller', 'dispatch', 'tracker', 'ticket'],
    fire: told,
    purpose: told,
  },
  load: {
    loaded_at: ['controller', 'ticket', 'crew', 'dispatch', 'tracker'],
    started_at: ['controller', 'ticket', 'crew', 'dispatch', 'tracker'],
    volume_gal: ['ticket', 'controller', 'crew', 'dispatch', 'tracker'],
    target_gal: ['ticket', 'controller', 'crew', 'dispatch', 'tracker'],
    base: ['ticket', 'controller', 'crew', 'dispatch', 'tracker'],
    ticket: ['ticket', 'crew', 'controller', 'dispatch', 'tracker'],
    fluid: ['ticket', 'crew', 'controller', 'dispatch', 'tracker'],
    method: ['ticket', 'crew', 'controller', 'dispatch', 'tracker'],
    overflow: ['ticket', 'controller', 'crew', 'dispatch', 'tracker'],
    gauge_before_gal: ['controller', 'ticket', 'crew', 'dispatch', 'tracker'],
    gauge_after_gal: ['controller', 'ticket', 'crew', 'dispatch', 'tracker'],
  },
  offload: {
    offloaded_at: ['ticket', 'controller', 'crew', 'dispatch', 'tracker'],
    volume_gal: ['ticket', 'controller', 'crew', 'dispatch', 'tracker'],
    base: ['ticket', 'controller', 'crew', 'dispatch', 'tracker'],
    fluid: ['ticket', 'crew', 'controller', 'dispatch', 'tracker'],
  },
  flight: {
    off_at: ['tracker', 'controller', 'crew', 'dispatch', 'ticket'],
    on_at: ['tracker', 'controller', 'crew', 'dispatch', 'ticket'],
    hours: ['crew', 'dispatch', 'controller', 'tracker', 'ticket'],
    ordered_at: ['dispatch', 'crew', 'controller', 'tracker', 'ticket'],
    from_base: ['crew', 'dispatch', 'tracker', 'controller', 'ticket'],
    to_base: ['crew', 'dispatch', 'tracker', 'controller', 'ticket'],
  },
} as const satisfies Record<string, Record<string, readonly Witness[]>>
