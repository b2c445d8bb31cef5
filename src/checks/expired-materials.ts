/** Materials used after the day they keep to, as their purchase tells it. */
import { formatDate } from '../../grammar/dates.ts';
import type { Deed } from '../cellar/deed.ts';
import type { DayNumber, MaterialId, Place } from '../journal/events.ts';
import { remembering } from './check.ts';

interface Purchase {
  readonly batch: string | undefined;
  /** The last day it keeps; undefined where its line names none. */
  readonly keeps: DayNumber | undefined;
  readonly place: Place;
}

interface Memory {
  /** Materials that a line which could not be read may have bought. */
  readonly unsure: Set<MaterialId>;
  readonly bought: Map<MaterialId, Purchase[]>;
}

const fresh = (): Memory => ({ unsure: new Set(), bought: new Map() });

export const expiredMaterials = remembering(fresh, (cellar, { bought, unsure }) => {
  /** The purchase it must be of, or one that keeps longest where it may be any: what may still be good is not doubted. */
  function purchaseOf(material: MaterialId, batch: string | undefined): Purchase | undefined {
    const all = bought.get(material) ?? [];
    const named = batch === undefined ? [] : all.filter((one) => one.batch === batch);
    const can = named.length > 0 ? named : all;
    if (can.some(({ keeps }) => keeps === undefined)) return undefined;
    return can.toSorted((a, b) => (b.keeps ?? 0) - (a.keeps ?? 0))[0];
  }

  function used(deed: Deed, materials: readonly MaterialId[], batch: string | undefined): void {
    const day = Math.floor(deed.event.minute / 1440);
    for (const material of new Set(materials)) {
      if (unsure.has(material)) continue;
      const purchase = purchaseOf(material, batch);
      if (purchase?.keeps === undefined || purchase.keeps >= day) continue;
      const { name = '' } = cellar.register.materials[material] ?? {};
      deed.say({
        code: 'material-expired',
        message: `${name} kept until ${formatDate(purchase.keeps)}, and is used on ${formatDate(day)}`,
        help: 'name the batch it was of (`batch A-113`), or write down what was bought since; if it was used on purpose, answer with `sic`',
        mark: name,
        related: { place: purchase.place, message: 'it was bought here' },
        vessels: [],
      });
    }
  }

  return {
    unread({ verb, words }) {
      if (verb !== undefined && verb !== 'buy') return;
      for (const { text } of words) {
        const material = cellar.register.material(text);
        if (material !== undefined) unsure.add(material);
      }
    },
    after(deed) {
      const { event } = deed;
      if (event.kind === 'buy') {
        for (const { material } of event.materials) {
          const purchase = { batch: event.batch, keeps: event.keeps, place: event.place };
          const known = bought.get(material);
          if (known === undefined) bought.set(material, [purchase]);
          else known.push(purchase);
        }
      } else if (bought.size === 0) return;
      else if (event.kind === 'add') {
        const given = event.additions.filter(({ dose }) => dose.kind !== 'asked').map(({ material }) => material);
        used(deed, given, event.batch);
      } else if (event.kind === 'kept' && event.prepared !== undefined) {
        used(
          deed,
          (event.used ?? []).map(({ material }) => material),
          event.prepared.batch,
        );
      }
    },
  };
});
