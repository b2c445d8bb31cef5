/**
 * Labels whose claims cannot be followed back: fruit without a weigh tag, wine from outside without its sender. Wine that was
 * here on the first day has its way in the records before this one; the page of the label says so.
 */
import type { Deed } from '../cellar/deed.ts';
import type { LabelSaid, LotId, OriginId, Place } from '../journal/events.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import { originKey, sourceClaims } from '../law/source-claims.ts';
import { originsNow } from '../law/wine.ts';
import { remembering } from './check.ts';

/** Where the way back ends before it reaches a weigh tag. */
interface Break {
  readonly place: Place;
  readonly text: string;
  /** What comes from there. */
  readonly origins: readonly OriginId[];
}

interface Memory {
  readonly breaks: Map<LotId, Break[]>;
}

const fresh = (): Memory => ({ breaks: new Map() });

export const labelTrail = remembering(fresh, (cellar, { breaks }) => {
  const { register } = cellar;

  function broken(lot: LotId, one: Break): void {
    const known = breaks.get(lot);
    if (known === undefined) breaks.set(lot, [one]);
    else known.push(one);
  }

  /** A lot with all it came from. */
  function kin(lot: LotId): Set<LotId> {
    const all = new Set<LotId>([lot]);
    for (const id of all) for (const parent of cellar.lot(id).parents.keys()) all.add(parent);
    return all;
  }

  function declared(deed: Deed, said: LabelSaid): void {
    const { trail } = RULE_SETS[register.settings.law];
    const claims = sourceClaims(said);
    if (trail === undefined || claims.length === 0) return;
    const lot = cellar.lot(said.lot);
    const now = originsNow(cellar, lot).map(({ origin }) => origin);
    const held = now.length > 0 ? now : lot.lastOrigins.origins;
    const inIt = new Set(
      held.flatMap((id) => {
        const origin = register.origins[id];
        return origin === undefined ? [] : [originKey(origin)];
      }),
    );
    const found = [...kin(said.lot)].sort((a, b) => a - b).flatMap((id) => breaks.get(id) ?? []);
    for (const { place, text, origins } of found) {
      const bears = origins.flatMap((id) => {
        const origin = register.origins[id];
        return origin !== undefined && inIt.has(originKey(origin)) ? [origin] : [];
      });
      const short = claims.filter((claim) => bears.some((origin) => claim.bears(origin)));
      if (short.length === 0) continue;
      deed.say({
        code: 'trail-broken',
        message: `${cellar.nameOfLot(said.lot)}: the way back of ${short.map(({ claim }) => claim).join(', ')} is broken: ${text} (${trail.section})`,
        help: 'write down what is missing there (`tag 10451`, `from "grower 9"`), or keep the paper that tells it; the text in force and its authority decide; `sic` answers it',
        mark: deed.event.verb,
        related: { place, message: 'it is broken here' },
        vessels: [...lot.vessels],
        lots: [said.lot],
      });
      // one is enough to be looked into; the page of the label has all of them
      return;
    }
  }

  return {
    after(deed) {
      const { event } = deed;
      if (event.kind === 'receive') {
        if (event.tag === undefined)
          broken(event.lot, {
            place: event.place,
            text: 'fruit was weighed in without a tag',
            origins: [event.origin],
          });
      } else if (event.kind === 'bring') {
        if (event.seller === undefined)
          broken(event.as, {
            place: event.place,
            text: 'wine came in, and from whom is not told',
            origins: event.origins.map(({ origin }) => origin),
          });
      } else if (event.kind === 'kept' && event.label !== undefined) declared(deed, event.label);
    },
  };
});
