/** The order of the work: white fruit is pressed before it ferments, red after; cap work needs must. */

import { sayTogether } from '../cellar/together.ts';
import type { LotId } from '../journal/events.ts';
import { remembering } from './check.ts';

interface Memory {
  /** Lots that were told of once, so that one slip is one finding. */
  readonly told: Set<LotId>;
}

const fresh = (): Memory => ({ told: new Set() });

export const orderOfWork = remembering(fresh, (cellar, { told }) => {
  return {
    after(deed, changed) {
      const { event } = deed;
      if (event.kind === 'press') {
        const head = event.sources[0]?.targets[0];
        // fruit that was pressed as it came: the juice has its colour
        for (const movement of deed.movements) {
          if (movement.kind !== 'in' || movement.how !== 'made' || head?.kind !== 'lot') continue;
          const fruit = cellar.lot(head.lot);
          if (told.has(head.lot) || fruit.facts.style !== undefined) continue;
          if (cellar.colourOf(cellar.lot(movement.lot)) !== 'red') continue;
          told.add(head.lot);
          deed.say({
            code: 'red-before-yeast',
            message: `${fruit.facts.name} is red and was pressed before it fermented`,
            help: 'for rosé or sparkling wine say so where the fruit came in (`for rosé`), or answer with `sic`',
            mark: fruit.facts.name,
            lots: [head.lot],
            vessels: [],
          });
        }
        const ids =
          head?.kind === 'lot'
            ? [head.lot]
            : deed.movements.flatMap((movement) => (movement.kind === 'across' ? [movement.fromLot] : []));
        for (const id of new Set(ids)) {
          const lot = cellar.lot(id);
          if (told.has(id)) continue;
          const colour = cellar.colourOf(lot);
          const onSkins = deed.movements.some((movement) => movement.kind === 'across' && movement.fromLot === id);
          const stage = changed.get(id) ?? lot.stage;
          const fermented = lot.yeasted || stage === 'fermenting' || stage === 'wine';
          if (colour === 'white' && onSkins && fermented) {
            told.add(id);
            deed.say({
              code: 'white-on-skins',
              message: `${lot.facts.name} is white and was pressed after it had begun to ferment on its skins`,
              help: 'white fruit is pressed first; if it was meant (an orange wine), answer with `sic`',
              mark: lot.facts.name,
              lots: [id],
              vessels: [],
            });
          }
          const meant = lot.facts.style;
          if (colour === 'red' && !fermented && meant === undefined) {
            told.add(id);
            deed.say({
              code: 'red-before-yeast',
              message: `${lot.facts.name} is red and was pressed before it fermented`,
              help: 'for rosé or sparkling wine say so where the fruit came in (`for rosé`), or answer with `sic`',
              mark: lot.facts.name,
              lots: [id],
              vessels: [],
            });
          }
        }
      }
      if (event.kind === 'cap') {
        const worked = [...deed.touchedVessels];
        const empty = worked.filter((id) => cellar.vessel(id).content.volume === 0);
        const skinless = worked.filter(
          (id) => cellar.vessel(id).content.volume > 0 && cellar.vessel(id).skins === false,
        );
        const help = 'name the vessels that hold must, or take out the others with `except`';
        sayTogether(deed, empty, (names, many) => ({
          code: 'cap-without-must',
          message: `${names} ${many ? 'hold' : 'holds'} nothing on ${deed.day}, and ${many ? 'their caps were' : 'its cap was'} worked`,
          help,
        }));
        sayTogether(deed, skinless, (names, many) => ({
          code: 'cap-without-must',
          message: `what is in ${names} has no skins on ${deed.day}, and ${many ? 'their caps were' : 'its cap was'} worked`,
          help,
        }));
        if (deed.touchedVessels.size === 0) {
          for (const id of deed.touchedLots) {
            deed.say({
              code: 'cap-without-must',
              message: `nothing of ${cellar.nameOfLot(id)} is in any vessel on ${deed.day}, and its cap was worked`,
              help: 'mend the lot, or the day',
              mark: cellar.nameOfLot(id),
              lots: [id],
              vessels: [],
            });
          }
        }
      }
    },
  };
});
