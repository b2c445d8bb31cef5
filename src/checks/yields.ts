/** What fruit can give: the share of stems, and the wine yield (`src/trade/fruit-yield.ts`) within what is possible. */
import type { LotAccount } from '../cellar/book.ts';
import type { LotId, Place } from '../journal/events.ts';
import { formatMass, yieldOf } from '../trade/convert.ts';
import { litresPerTonne, wineYield } from '../trade/fruit-yield.ts';
import { remembering } from './check.ts';

/** Stems by weight of the fruit: 2 to 9 % (common practice, no source). */
const STEMS: readonly [number, number] = [0.02, 0.09];
/**
 * The wine yield in litres a tonne that can be. The American Journal of Enology and Viticulture 34 (1983) has 130 to 185 US gallons a
 * short ton, which is 542 to 772 L/t; a slip is likely below 400 and above 850.
 */
const WINE_YIELD: readonly [number, number] = [400, 850];

interface Memory {
  readonly pressed: Map<LotId, { place: Place; sic: boolean }>;
  /** Juice made from fruit that was pressed as it came, whatever it is called. */
  readonly juice: Map<LotId, number>;
}

const fresh = (): Memory => ({ pressed: new Map(), juice: new Map() });

export const yields = remembering(fresh, (cellar, { pressed, juice }) => {
  return {
    after(deed) {
      const { event } = deed;
      if (event.kind === 'crush' && event.stems !== undefined) {
        const lot = cellar.lot(event.lot);
        const share = lot.fruit.used === 0 ? 0 : lot.fruit.stems / lot.fruit.used;
        if (share < STEMS[0] || share > STEMS[1]) {
          deed.say({
            code: 'stems-share',
            message: `${formatMass(lot.fruit.stems, 'kg')} of stems are ${Math.round(share * 1000) / 10} % of the fruit of ${lot.facts.name}; 2 to 9 % is usual`,
            help: 'mend a weight; if it was so, answer with `sic`',
            mark: 'stems',
            lots: [event.lot],
          });
        }
      }
      if (event.kind === 'press') {
        const head = event.sources[0]?.targets[0];
        const said = { place: event.place, sic: event.sic };
        if (head?.kind === 'lot') pressed.set(head.lot, said);
        for (const movement of deed.movements) {
          if (movement.kind === 'across') pressed.set(movement.fromLot, said);
          else if (movement.kind === 'in' && movement.how === 'made' && head?.kind === 'lot') {
            juice.set(head.lot, (juice.get(head.lot) ?? 0) + movement.volume);
          }
        }
      }
    },
    end(say) {
      for (const [id, { place, sic }] of pressed) {
        const lot = cellar.lot(id);
        // only a lot that is pressed out can be judged
        if (lot.vessels.size > 0 || lot.fruit.used === 0) continue;
        const pressedJuice = juice.get(id);
        const gave =
          pressedJuice === undefined ? wineYieldOf(lot.account, lot.fruit.used) : yieldOf(pressedJuice, lot.fruit.used);
        if (gave === undefined) continue;
        const perTonne = litresPerTonne(gave);
        if (perTonne >= WINE_YIELD[0] && perTonne <= WINE_YIELD[1]) continue;
        say(
          place,
          {
            code: 'pressing-yield',
            message: `${lot.facts.name} gave ${Math.round(perTonne)} L a tonne of fruit; 540 to 770 is usual, less than ${WINE_YIELD[0]} or more than ${WINE_YIELD[1]} hardly can be`,
            help: 'mend a weight or a volume; if it was so, answer with `sic`',
            mark: lot.facts.name,
            lots: [id],
          },
          sic,
        );
      }
    },
  };
});

/** The wine yield of a lot's own must; undefined where wine of other lots is mixed in or part was set apart. */
function wineYieldOf({ made, settled, pomace, ...account }: LotAccount, used: number): number | undefined {
  if (account.blendedIn > 0 || account.bought > 0 || account.found > 0 || account.setApart > 0) return undefined;
  return wineYield({ used, made, settled, pomace });
}
