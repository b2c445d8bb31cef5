/** A lot's story in a few sentences: where it came from, how it fermented, what it became, where it is. */
import type { Happening, LotRecord } from '../cellar/book.ts';
import { type ActiveFerment, dryAt } from './active-ferments.ts';
import { type Figure, figureAt, type ReportContext, vesselNames } from './context.ts';
import { dayOf, daySpanText, dayText, shortDayText } from './dates.ts';
import { spanOf } from './ferments.ts';
import { bottlesText, massText, volumeText } from './figures.ts';
import { broughtInto } from './lineage.ts';
import type { MalolacticModel } from './malolactic.ts';
import { counted, nameList } from './names.ts';
import { accountOf } from './volumes.ts';

/** Words and names in their order; those with a place to go to lead there. */
export type Sentence = readonly Figure[];

/** Kin named one by one. */
const MOST_KIN = 4;
/** Vessels named one by one; more are told as ranges. */
const MOST_VESSELS = 8;

export function storyOf(
  context: ReportContext,
  lot: LotRecord,
  happenings: readonly Happening[],
  active: readonly ActiveFerment[],
  malolactic: MalolacticModel | undefined,
): Sentence[] {
  return [
    originOf(context, lot, happenings),
    fermentOf(context, lot, active),
    malolacticSentence(lot, malolactic),
    becameOf(context, lot),
    lostOf(context, lot),
    whereOf(context, lot),
  ].filter((sentence) => sentence.length > 0);
}

/** Of must it says nothing yet, and of wine that went on before it fell it never did. */
function malolacticSentence(lot: LotRecord, malolactic: MalolacticModel | undefined): Sentence {
  if (malolactic === undefined || lot.stage === 'must' || lot.stage === 'fermenting' || lot.stage === 'juice')
    return [];
  if (lot.onHand === 0 && !malolactic.finished) return [];
  return [{ text: 'Malolactic ' }, { text: malolactic.state, ...hrefOf(malolactic.line.href) }, { text: '.' }];
}

const hrefOf = (href: string | undefined): { href?: string } => (href === undefined ? {} : { href });

function originOf(context: ReportContext, lot: LotRecord, happenings: readonly Happening[]): Sentence {
  const { settings } = context;
  const { account, fruit, parents } = lot;
  if (fruit.received > 0) {
    const loads = happenings.flatMap(({ event }) =>
      event.kind === 'receive' && event.lot === lot.facts.id ? [event] : [],
    );
    const blocks = [...new Set(loads.flatMap(({ origin }) => blockOf(context, origin)))];
    const days = loads.map(({ minute }) => dayOf(minute));
    const [first, last] = [Math.min(...days), Math.max(...days)];
    const when = first === last ? `on ${dayText(first)}` : `from ${shortDayText(first)} to ${dayText(last)}`;
    const from = blocks.length === 0 ? '' : ` from ${nameList(blocks, 4)}`;
    const must = account.made === 0 ? '.' : ` and gave ${volumeText(account.made, settings)} of must.`;
    return [
      figureAt(context, `${massText(fruit.received, settings)} of fruit`, loads[0]?.place),
      { text: `${from} came in ${when}${must}` },
    ];
  }
  const came = parents.filter(({ volume }) => volume > 0);
  if (came.length > 0) {
    return [
      { text: lot.facts.bottling ? 'Filled from ' : 'Made of ' },
      ...kinOf(context, came),
      { text: ` on ${dayText(dayOf(lot.facts.since))}.` },
    ];
  }
  if (account.found > 0) return [{ text: `${volumeText(account.found, settings)} were there on the first day.` }];
  if (account.bought > 0) {
    return [{ text: `${volumeText(account.bought, settings)} were bought in on ${dayText(dayOf(lot.facts.since))}.` }];
  }
  return [];
}

function blockOf({ book }: ReportContext, origin: number): string[] {
  const facts = book.origins[origin];
  return facts === undefined ? [] : [facts.block ?? facts.variety];
}

/** `SYR-free (417 L), MOU-free (412 L) and 3 more` */
function kinOf(context: ReportContext, kin: LotRecord['parents']): Figure[] {
  const sorted = [...kin].sort((a, b) => b.volume - a.volume || a.lot - b.lot);
  const further = sorted.length - MOST_KIN;
  return [
    ...sorted
      .slice(0, MOST_KIN)
      .flatMap(({ lot, volume }, index): Figure[] => [
        ...(index === 0 ? [] : [{ text: ', ' }]),
        context.links.lot(lot),
        { text: ` (${volumeText(volume, context.settings)})` },
      ]),
    ...(further > 0 ? [{ text: ` and ${further} more` }] : []),
  ];
}

function fermentOf(context: ReportContext, lot: LotRecord, active: readonly ActiveFerment[]): Sentence {
  if (active.length > 0) {
    const began = lot.stages.find(({ stage }) => stage === 'fermenting');
    const days = active.flatMap((ferment) => {
      const minute = dryAt(ferment);
      return minute === undefined ? [] : [dayOf(minute)];
    });
    const dry = days.length === 0 ? '' : `; dry about ${daySpanText(days)}`;
    if (began === undefined) return [{ text: 'It has not begun to ferment.' }];
    const place = context.book.happenings[began.happening]?.event.place;
    return [
      { text: 'It ferments since ' },
      figureAt(context, dayText(dayOf(began.minute)), place),
      { text: `${dry}.` },
    ];
  }
  const span = spanOf(lot);
  if (span === undefined) return [];
  const placeOf = (happening: number) => context.book.happenings[happening]?.event.place;
  const length = dayOf(span.until) - dayOf(span.from);
  return [
    { text: 'It fermented from ' },
    figureAt(context, dayText(dayOf(span.from)), placeOf(span.began)),
    { text: ' to ' },
    figureAt(context, dayText(dayOf(span.until)), placeOf(span.ended)),
    { text: ` (${counted(length, 'day')}).` },
  ];
}

function becameOf(context: ReportContext, lot: LotRecord): Sentence {
  const went = lot.children.filter(({ volume }) => volume > 0);
  return went.length === 0 ? [] : [{ text: 'It went to ' }, ...kinOf(context, went), { text: '.' }];
}

/** What was lost on the way, the most first; what went out of the door is told as what it is. */
function lostOf(context: ReportContext, lot: LotRecord): Sentence {
  const whole = broughtInto(lot);
  if (whole === 0) return [];
  const told = new Set(['went to other lots', 'set apart', 'bottled', 'dispatched']);
  const lost = accountOf(lot)
    .filter(({ name, volume }) => volume < 0 && !told.has(name))
    .map(({ name, volume }) => ({ name, volume: -volume }))
    .sort((a, b) => b.volume - a.volume);
  const sum = lost.reduce((total, { volume }) => total + volume, 0);
  if (sum === 0) return [];
  const named = lost.slice(0, 3).map(({ name, volume }) => `${name} ${volumeText(volume, context.settings)}`);
  const share = ((sum / whole) * 100).toFixed(1);
  const further = lost.length > 3 ? ` and ${counted(lost.length - 3, 'lesser loss', 'lesser losses')}` : '';
  return [
    { text: 'On the way ' },
    { text: `${volumeText(sum, context.settings)} were lost`, href: '#volume' },
    { text: ` (${share} %): ${named.join(', ')}${further}.` },
  ];
}

function whereOf(context: ReportContext, lot: LotRecord): Sentence {
  const { settings } = context;
  if (lot.facts.bottling) {
    const left = lot.bottles.some(({ count }) => count > 0);
    return [{ text: left ? `On hand: ${bottlesText(lot.bottles)}.` : 'No bottle is left.' }];
  }
  if (lot.fruit.waiting > 0) return [{ text: `${massText(lot.fruit.waiting, settings)} of fruit wait.` }];
  if (lot.onHand === 0) return [];
  const held = volumeText(lot.onHand, settings, lot.estimated);
  if (lot.vessels.length > MOST_VESSELS) {
    return [{ text: `${held} are in ${nameList(vesselNames(context, lot.vessels), 6)}.` }];
  }
  return [
    { text: `${held} are in ` },
    ...lot.vessels.flatMap((vessel, index): Figure[] => [
      ...(index === 0 ? [] : [{ text: ', ' }]),
      context.links.vessel(vessel),
    ]),
    { text: '.' },
  ];
}
