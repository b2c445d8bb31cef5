/** Each claim of a label with its way: the sources that bear it, their weigh tags, the lines between, the filling and the removals. */
import type { Book, LotRecord } from '../cellar/book.ts';
import type { LabelSaid } from '../journal/events.ts';
import { percentOf } from '../law/rules.ts';
import { sourceClaims } from '../law/source-claims.ts';
import type { Figures } from '../law/wine.ts';
import { figureAt, type ReportContext } from './context.ts';
import { dayOf, daySpanText, dayText } from './dates.ts';
import { counted } from './names.ts';
import { cell, EMPTY, figures, type SheetCell, type SheetSection } from './sheet.ts';
import type { MissingLink, Trail } from './trail.ts';

export interface ClaimWay {
  /** `variety Syrah` */
  readonly claim: string;
  /** Indexes of the trail's sources that bear it. */
  readonly sources: readonly number[];
  readonly missing: readonly MissingLink[];
}

/** The claims that stand on where the wine comes from. A missing link of no source in particular concerns them all. */
export function claimWays({ sources, missing }: Trail, said: LabelSaid): ClaimWay[] {
  return sourceClaims(said).map(({ claim, bears }) => {
    const own = sources.flatMap(({ origin }, i) => (bears(origin) ? [i] : []));
    return {
      claim,
      sources: own,
      missing: missing.filter((one) => one.sources.some((source) => own.includes(source))),
    };
  });
}

/** The lines that took bottles out of the cellar for a reason they name. */
const removalsOf = (book: Book, { facts, happenings }: LotRecord) =>
  happenings.flatMap((index) => {
    const happening = book.happenings[index];
    const event = happening?.event;
    return event?.kind === 'leave' &&
      event.how === 'dispatch' &&
      (facts.bottling ? event.bottles.some(({ lot }) => lot === facts.id) : event.sources.length > 0)
      ? [event]
      : [];
  });

/** `letters` names sources as the rest of the page does; `read` is what was read of the wine, for its alcohol. */
export function waysSection(
  context: ReportContext,
  trail: Trail,
  said: LabelSaid,
  letters: (sources: readonly number[]) => string,
  read: Figures,
): SheetSection | undefined {
  const { book, links } = context;
  const ways = claimWays(trail, said);
  if (ways.length === 0 && said.alcohol === undefined) return undefined;
  const { lot, tags, steps } = trail;
  const filled = lot.happenings.flatMap((index) => {
    const event = book.happenings[index]?.event;
    return event?.kind === 'bottle' && event.as === lot.facts.id ? [event] : [];
  });
  const removed = removalsOf(book, lot);
  const touches = (of: readonly number[], own: readonly number[]): boolean => of.some((one) => own.includes(one));
  const missingCell = (missing: readonly MissingLink[]): SheetCell =>
    missing.length === 0
      ? cell('nothing')
      : {
          figures: missing.slice(0, 3).map(({ text, happening }) => figureAt(context, text, happening?.event.place)),
          ...(missing.length > 3 ? { quiet: `and ${missing.length - 3} more` } : {}),
        };
  const end: SheetCell[] = [
    filled.length === 0
      ? cell('not bottled')
      : figures(filled.map(({ minute, place }) => figureAt(context, dayText(dayOf(minute)), place))),
    removed.length === 0
      ? cell('nothing yet')
      : figures(
          [{ ...links.bottling(lot.facts.id), text: counted(removed.length, 'line') }],
          daySpanText(removed.map(({ minute }) => dayOf(minute))),
        ),
  ];
  return {
    id: 'ways',
    title: 'Each claim, from the weigh tag to the removal',
    sheet: {
      label: 'Each claim, from the weigh tag to the removal',
      caption: 'What bears a claim, and how far its way can be followed in this record; every line of it stands below',
      columns: [
        { name: 'Claim' },
        { name: 'Borne by' },
        { name: 'Weigh tags', kind: 'number' },
        { name: 'Lines between', kind: 'number' },
        { name: 'Filled', kind: 'nowrap' },
        { name: 'Removed', kind: 'words' },
        { name: 'Missing', kind: 'words' },
      ],
      rows: [
        ...ways.map(({ claim, sources, missing }) => ({
          cells: [
            cell(claim),
            sources.length === 0 ? cell('no source') : cell(letters(sources), '#sources'),
            linked(tags.filter((tag) => touches(tag.sources, sources)).length, '#tags'),
            linked(steps.filter((step) => touches(step.sources, sources)).length, '#way'),
            ...end,
            missingCell(missing),
          ],
        })),
        ...alcoholRow(context, said, read, end),
      ],
      sort: false,
    },
  };
}

const linked = (count: number, href: string): SheetCell => (count === 0 ? EMPTY : cell(String(count), href));

/** Alcohol is borne by what was read, not by a source. */
function alcoholRow(context: ReportContext, said: LabelSaid, { alcohol }: Figures, end: readonly SheetCell[]) {
  if (said.alcohol === undefined) return [];
  const borne =
    alcohol === undefined
      ? cell('no reading')
      : figures([figureAt(context, `read ${alcohol.said}`, alcohol.place)], dayText(dayOf(alcohol.minute)));
  const missing = cell(alcohol === undefined ? 'no alcohol was read of it' : 'nothing');
  return [{ cells: [cell(`alcohol ${percentOf(said.alcohol)}`), borne, EMPTY, EMPTY, ...end, missing] }];
}
