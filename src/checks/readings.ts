/** Readings that cannot be: slips of scale and unit, sugar that rises, malic acid that rises, more free than total. */
import { ANALYTES } from '../../grammar/analytes.ts';
import type { Deed } from '../cellar/deed.ts';
import type { Measure, VesselId } from '../journal/events.ts';
import { remembering } from './check.ts';

const PLAUSIBLE = new Map(ANALYTES.map((analyte) => [analyte.key, analyte]));

/** A slip people make, guessed from the figure. */
function slip(measure: Measure): string | undefined {
  const { analyte, value } = measure;
  if (analyte === 'brix' && value > 0.97 && value < 1.2 && measure.said.includes('.'))
    return `write \`SG ${measure.said}\``;
  if (analyte === 'SG' && value > 5 && value < 40) return `write \`brix ${measure.said}\``;
  if (analyte === 'SG' && value > 900) return `write \`SG ${value / 1000}\``;
  if (analyte.endsWith('temp') && value > 45 && value < 115)
    return `write the unit that was read: \`${measure.said.replace(/\s*°?C$/, '')} F\``;
  if (analyte === 'density' && value < 2) return `write \`density ${measure.said.replace(/ .*$/, '')} kg/L\``;
  return undefined;
}

/** A figure a thousandfold or tenfold off, where the usual range says which was meant. */
function shifted(measure: Measure, low: number, high: number): string | undefined {
  const [figure = '', ...unit] = measure.said.split(' ');
  const within = (value: number): boolean => value >= low && value <= high;
  if (measure.mark !== '' || !/^\d+(\.\d+)?$/.test(figure)) return undefined;
  if (unit.join(' ') === 'g/L' && within(Number(figure)) && PLAUSIBLE.get(measure.analyte)?.unit === 'mg/L')
    return `write \`${measure.analyte} ${figure} mg/L\``;
  const tenth = Number((Number(figure) / 10).toPrecision(12));
  return within(measure.value / 10)
    ? `a point too far to the right? \`${[`${measure.analyte} ${tenth}`, ...unit].join(' ')}\`; if it was so, answer with \`sic\``
    : undefined;
}

/** Degrees Brix with three decimals between these are a specific gravity: no hydrometer shows them. */
const GRAVITY = /^(0\.9[789]\d|1\.[01]\d\d)$/;

/** Sugar may seem to rise by this much before it is worth a word: soak-up and mixing (common practice, no source). */
const RISE = 0.5;

/** Below this share of its highest sugar a ferment is under way, and sugar no longer soaks out of skins. */
const UNDER_WAY = 0.97;

/** Days after which a reading of free sulfur dioxide no longer goes with one of total. */
const SAME_DAY = 1440;

interface Seen {
  most: number;
  last: number;
  /** The wine has changed since: what was seen no longer counts. */
  lot: number;
}

interface Memory {
  readonly sugar: Map<VesselId, Seen>;
  /** By vessel, and below nought by lot. */
  readonly malic: Map<number, { value: number; minute: number }>;
  readonly sulfur: Map<VesselId, { free?: number; total?: number; minute: number }>;
}

const fresh = (): Memory => ({ sugar: new Map(), malic: new Map(), sulfur: new Map() });

export const readings = remembering(fresh, (cellar, { sugar, malic, sulfur }) => {
  return {
    after(deed) {
      const { event } = deed;
      if (event.kind === 'move' || event.kind === 'press' || event.kind === 'crush') {
        for (const id of deed.touchedVessels) sugar.delete(id);
        return;
      }
      if (event.kind === 'add') {
        // sugar and concentrate raise it
        for (const id of deed.touchedVessels) sugar.delete(id);
        return;
      }
      if (event.kind !== 'reading') return;
      for (const measure of event.measures) {
        const analyte = PLAUSIBLE.get(measure.analyte);
        const [low, high] = analyte?.plausible ?? [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
        const gravity = measure.analyte === 'brix' && GRAVITY.test(measure.said);
        if (measure.value < low || measure.value > high || gravity) {
          const unit = analyte === undefined || analyte.unit === measure.analyte ? '' : ` ${analyte.unit}`;
          deed.say({
            code: 'reading-implausible',
            message: gravity
              ? `brix ${measure.said} looks like a specific gravity`
              : `${measure.analyte} ${measure.said} is outside what is usual (${low} to ${high}${unit})`,
            help:
              slip(measure) ??
              shifted(measure, low, high) ??
              'mend the figure or its unit; if it was so, answer with `sic`',
            mark: measure.said.split(' ')[0] ?? '',
            vessels: [],
          });
          continue;
        }
        // a sample tells of another day, and a reading of a whole lot of no one vessel
        if (event.sample !== undefined) continue;
        for (const target of event.targets) {
          if (target.kind !== 'vessel') continue;
          const state = cellar.vessel(target.vessel);
          if (state.lot < 0) continue;
          if (measure.analyte === 'brix') {
            const seen = sugar.get(target.vessel);
            if (seen === undefined || seen.lot !== state.lot)
              sugar.set(target.vessel, { most: measure.value, last: measure.value, lot: state.lot });
            else {
              if (measure.value > seen.last + RISE && seen.last < seen.most * UNDER_WAY) {
                deed.say({
                  code: 'brix-rising',
                  message: `${state.facts.name} read ${measure.said} after ${seen.last}: sugar does not rise in a ferment`,
                  help: 'another vessel, or a slip? If it was so, answer with `sic`',
                  mark: measure.said,
                  vessels: [target.vessel],
                });
              }
              seen.last = measure.value;
              seen.most = Math.max(seen.most, measure.value);
            }
          }
        }
        if (measure.analyte === 'malic' && measure.mark === '') {
          for (const target of event.targets) {
            const key = target.kind === 'lot' ? -1 - target.lot : target.kind === 'vessel' ? target.vessel : undefined;
            if (key === undefined) continue;
            const before = malic.get(key);
            if (before !== undefined && measure.value > before.value * 1.25 + 0.2) {
              deed.say({
                code: 'malic-rising',
                message: `malic ${measure.said} after ${before.value} g/L: it falls or stays`,
                help: 'another vessel, another method, or a slip? If it was so, answer with `sic`',
                mark: measure.said.split(' ')[0] ?? '',
                vessels: [],
              });
            }
            malic.set(key, { value: measure.value, minute: event.minute });
          }
        }
      }
      checkSulfur(deed, event.measures);
    },
  };

  function checkSulfur(deed: Deed, measures: readonly Measure[]): void {
    const free = measures.find((measure) => measure.analyte === 'free SO2');
    const total = measures.find((measure) => measure.analyte === 'total SO2');
    if (free === undefined && total === undefined) return;
    for (const id of deed.touchedVessels) {
      const before = sulfur.get(id);
      const fresh = before !== undefined && deed.event.minute - before.minute <= SAME_DAY ? before : undefined;
      const now = { minute: deed.event.minute, free: free?.value ?? fresh?.free, total: total?.value ?? fresh?.total };
      sulfur.set(id, {
        minute: now.minute,
        ...(now.free === undefined ? {} : { free: now.free }),
        ...(now.total === undefined ? {} : { total: now.total }),
      });
      if (now.free !== undefined && now.total !== undefined && now.free > now.total) {
        deed.say({
          code: 'sulfur-free-above-total',
          message: `free SO2 ${now.free} mg/L is above total ${now.total} mg/L`,
          help: 'free is a part of total: mend one of the two',
          mark: (free ?? total)?.said.split(' ')[0] ?? '',
          vessels: [],
        });
        return;
      }
    }
  }
});
