/** What a `label` line declares: grapes, year, regions with their kinds, blocks, estate, alcohol, what is in it. */
import type { Item } from '../../../grammar/entries.ts';
import { DECLARED, REGION_KINDS } from '../../../grammar/words.ts';
import type { LabelSaid, LotId } from '../events.ts';
import { type Line, textOf } from '../line.ts';
import { amountOf } from './parts.ts';

/** The words of an item as one name, figures left out; of a region its kind may stand last, behind a whole name. */
function nameAndKind(item: Item): { name: string; kind: string } {
  const words = item.parts.filter((part) => part.type !== 'amount');
  const last = words.length > 1 ? textOf(words.at(-1)).toLowerCase() : '';
  const kind = words.at(-1)?.type === 'word' && REGION_KINDS.some((one) => one === last) ? last : '';
  const name = (kind === '' ? words : words.slice(0, -1)).map(textOf).join(' ');
  return { name: name.normalize('NFC'), kind };
}

const sayItem = (item: Item): string =>
  item.parts
    .map(textOf)
    .filter((word) => word !== '')
    .join(' ')
    .normalize('NFC');

const shareOf = (line: Line, item: Item): { share?: number } => {
  const amount = amountOf(item);
  return amount === undefined ? {} : { share: line.base(amount) };
};

export function labelSaid(line: Line, lot: LotId): LabelSaid {
  const vintage = line.year('vintage');
  const alcohol = line.given('alcohol');
  return {
    lot,
    varieties: line.items('variety').map((item) => ({ name: sayItem(item), ...shareOf(line, item) })),
    regions: line.items('region').map((item) => {
      const { name, kind } = nameAndKind(item);
      const known = REGION_KINDS.find((one) => one === kind);
      return { name, ...(known === undefined ? {} : { kind: known }), ...shareOf(line, item) };
    }),
    blocks: line.items('block').map(sayItem),
    estate: line.has('estate'),
    holds: DECLARED.filter((word) => line.items('with').some((item) => sayItem(item).toLowerCase() === word)),
    ...(vintage === undefined ? {} : { vintage }),
    ...(alcohol === undefined ? {} : { alcohol }),
  };
}
