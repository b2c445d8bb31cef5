/** Bottles by their size at the end of a period, as cases where the chosen rule has gallons a case. */
import type { Happening } from '../cellar/book.ts';
import type { Bottles, LotId, Microlitres } from '../journal/events.ts';
import { PRESCRIBED_CASES, prescribedCaseGallonsE5, volumeOfBottles } from '../trade/formats.ts';
import { rounded, toldText } from '../trade/running-sums.ts';
import { bottleText } from './figures.ts';
import type { ToldUnits } from './period-volumes.ts';
import { cell, type Sheet } from './sheet.ts';

/** Bottles on hand by bottling and size, kept from event to event. */
export class BottleTally {
  private readonly held = new Map<LotId, Map<Microlitres, number>>();

  private change(lot: LotId, { size }: Bottles, to: (had: number) => number): void {
    const sizes = this.held.get(lot) ?? new Map<Microlitres, number>();
    sizes.set(size, Math.max(0, to(sizes.get(size) ?? 0)));
    this.held.set(lot, sizes);
  }

  see({ event, movements }: Happening): void {
    switch (event.kind) {
      case 'bottle':
        if (movements.every((movement) => movement.kind !== 'bottles')) return;
        for (const bottles of event.bottles) this.change(event.as, bottles, (had) => had + bottles.count);
        return;
      case 'found':
        for (const bottles of event.bottles) this.change(event.as, bottles, (had) => had + bottles.count);
        return;
      case 'leave':
        for (const { lot, bottles } of event.bottles) this.change(lot, bottles, (had) => had - bottles.count);
        return;
      case 'count':
        for (const { lot, bottles } of event.bottles) this.change(lot, bottles, () => bottles.count);
        return;
      default:
    }
  }

  /** By size, the smallest first. */
  bySize(): Bottles[] {
    const sums = new Map<Microlitres, number>();
    for (const sizes of this.held.values())
      for (const [size, count] of sizes) sums.set(size, (sums.get(size) ?? 0) + count);
    return [...sums]
      .filter(([, count]) => count > 0)
      .sort((a, b) => a[0] - b[0])
      .map(([size, count]) => ({ size, count }));
  }
}

/** Gallons a case are printed to a hundred-thousandth. */
const E5 = 5;

/** Wine gallons of so many bottles of a size, by the case where the rule prints it; in hundred-thousandths. */
export function gallonsByCaseE5({ count, size }: Bottles, { gallons }: ToldUnits): number {
  const millilitres = size / 1000;
  const perCase = PRESCRIBED_CASES.find((row) => row.millilitres === millilitres)?.bottles;
  const unit = { ...gallons, places: E5 };
  if (perCase === undefined) return rounded(count * size, unit);
  const cases = Math.floor(count / perCase);
  const loose = volumeOfBottles(count - cases * perCase, millilitres);
  return cases * (prescribedCaseGallonsE5(perCase, millilitres) ?? 0) + rounded(loose, unit);
}

/** `undefined` where there are none, or where the bottles do not come to what the account has: a finding tells why. */
export function bottlesSheet(bottles: readonly Bottles[], volume: Microlitres, units: ToldUnits): Sheet | undefined {
  const whole = bottles.reduce((sum, { count, size }) => sum + count * size, 0);
  if (whole === 0 || whole !== volume) return undefined;
  const byCase = units.factor.rule !== undefined;
  const places = { ...units.gallons, places: E5 };
  return {
    label: 'Bottles by size',
    caption: byCase
      ? `Bottles at the end by their size; gallons by the case, as ${units.factor.rule?.section ?? 'the rule'} prints them, loose bottles by the litre`
      : 'Bottles at the end by their size',
    columns: [
      { name: 'Size', kind: 'nowrap' },
      { name: 'Bottles', kind: 'number' },
      ...(byCase ? [{ name: 'Cases', kind: 'nowrap' as const }] : []),
      { name: 'Litres', kind: 'number' },
      { name: 'Wine gallons', kind: 'number' },
    ],
    rows: bottles.map((one) => {
      const { count, size } = one;
      const perCase = PRESCRIBED_CASES.find((row) => row.millilitres === size / 1000)?.bottles;
      return {
        cells: [
          cell(bottleText(size)),
          cell(String(count)),
          ...(byCase ? [cell(perCase === undefined ? '' : casesText(count, perCase))] : []),
          cell(toldText(rounded(count * size, units.litres), units.litres, true)),
          cell(
            byCase
              ? toldText(gallonsByCaseE5(one, units), places, true)
              : toldText(rounded(count * size, units.gallons), units.gallons, true),
          ),
        ],
      };
    }),
    sort: false,
  };
}

/** `89 of 12, 11 loose` */
function casesText(count: number, perCase: number): string {
  const loose = count % perCase;
  return `${Math.floor(count / perCase)} of ${perCase}${loose === 0 ? '' : `, ${loose} loose`}`;
}
