/** A stocktake as lines of the journal to be filled in: a line a vessel, a bottling and a material, each counting for nothing so far. */
import { formatDate, weekday } from '../../grammar/dates.ts';
import { asWritten } from '../../grammar/fixes.ts';
import { STOCKTAKE } from '../../grammar/words.ts';
import type { StoreAmount } from '../journal/events.ts';
import { MICROLITRES_PER_LITRE } from '../trade/volume.ts';
import type { ReportContext } from './context.ts';
import { exactVolumeText } from './figures.ts';
import { storeText } from './materials.ts';
import { nameList } from './names.ts';
import { stocktakeList } from './stocktake-list.ts';

/** What is written over. */
export const TO_FILL = '____';

/** At the end of the day: what was done on it stands above. */
const WHEN = '23:59';

/** A comment ends with its line. */
const oneLine = (text: string): string => text.replace(/\s+/gu, ' ').trim();

/** The unit a material is weighed or counted in. */
function unitOf({ unit, amount }: StoreAmount): string {
  if (unit === 'µg') return Math.abs(amount) >= 1e9 ? ' kg' : ' g';
  if (unit === 'µL') return Math.abs(amount) >= MICROLITRES_PER_LITRE ? ' L' : ' mL';
  return '';
}

/**
 * The lines, without a break at the end. `blind`: what should be there is left out, so that nobody reads what the book
 * wants to hear.
 */
export function stocktakeText(context: ReportContext, blind: boolean): string[] {
  const { book, settings } = context;
  const { held, empty, bottled, materials } = stocktakeList(context);
  const line = (work: string, there: string): string =>
    `# ${WHEN} ${work} for ${STOCKTAKE}${blind || there === '' ? '' : ` # the book has ${oneLine(there)}`}`;
  const unit = settings.volume;
  const sections: string[][] = [
    held.map(({ vessel, lot }) =>
      line(
        `dip ${asWritten(vessel.facts.name)} ${TO_FILL} ${unit}`,
        `${vessel.estimated ? '~' : ''}${exactVolumeText(vessel.content.volume, settings)} of ${lot?.facts.name ?? 'a lot'}`,
      ),
    ),
    bottled.map(({ lot, bottles }) =>
      line(`count ${asWritten(lot.facts.name)} ${TO_FILL} x ${sizeText(bottles.size)}`, `${bottles.count} bottles`),
    ),
    materials.map(({ facts, amount }) =>
      line(`count ${asWritten(facts.name)} ${TO_FILL}${unitOf(amount)}`, storeText(amount)),
    ),
  ];
  const name = settings.name === '' ? '' : ` of ${oneLine(settings.name)}`;
  return [
    `# Stocktake${name}, by the book at the end of ${weekday(book.on)} ${formatDate(book.on)}.`,
    `# Write what is there over ${TO_FILL} and take the # off the line; a line that keeps it counts for nothing.`,
    `# Leave the figure as it was read: the book takes it over, and the difference is a gain or a loss of the day.`,
    ...(empty.length === 0
      ? []
      : [
          `# Should hold nothing: ${oneLine(
            nameList(
              empty.map(({ facts }) => facts.name),
              40,
            ),
          )}.`,
        ]),
    `${formatDate(book.on)} ${weekday(book.on)}`,
    ...sections.filter((lines) => lines.length > 0).flatMap((lines, i) => (i === 0 ? lines : ['', ...lines])),
  ];
}

/** A bottle's size as a line of the journal says it: `750 mL`, `1.5 L`. */
const sizeText = (size: number): string => (size >= MICROLITRES_PER_LITRE ? `${size / 1e6} L` : `${size / 1e3} mL`);
